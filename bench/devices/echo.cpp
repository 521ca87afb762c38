// The least a server of cpp-httplib does, a thread and a request a connection: says back the path it was asked for. Prints its port and serves until SIGTERM.
#include <csignal>
#include <cstdio>
#include <cstdlib>

#include <httplib.h>

int main(int argc, char** argv) {
  const long threads = argc == 2 ? std::strtol(argv[1], nullptr, 10) : 0;
  if (threads < 1) {
    std::fputs("usage: echo_server THREADS\n", stderr);
    return 2;
  }
  sigset_t signals;
  sigemptyset(&signals);
  sigaddset(&signals, SIGTERM);
  ::pthread_sigmask(SIG_BLOCK, &signals, nullptr);

  httplib::Server http;
  socket_t listening = INVALID_SOCKET;
  http.set_read_timeout(10);
  http.set_write_timeout(10);
  http.set_tcp_nodelay(true);
  http.set_keep_alive_max_count(1);
  http.set_socket_options([&listening](socket_t socket) {
    const int yes = 1;
    ::setsockopt(socket, SOL_SOCKET, SO_REUSEADDR, &yes, sizeof yes);
    listening = socket;
  });
  http.new_task_queue = [threads] { return new httplib::ThreadPool(static_cast<std::size_t>(threads)); };
  http.Get(".*", [](const httplib::Request& request, httplib::Response& response) {
    response.set_content(request.path, "text/plain");
  });
  const int port = http.bind_to_any_port("127.0.0.1");
  if (port <= 0) {
    std::fputs("echo_server: cannot listen on 127.0.0.1: is there no loopback?\n", stderr);
    return 74;
  }
  ::listen(listening, SOMAXCONN);
  std::printf("%d\n", port);
  std::fflush(stdout);
  std::thread waiter([&http, &signals] {
    int signal = 0;
    ::sigwait(&signals, &signal);
    http.stop();
  });
  http.listen_after_bind();
  waiter.join();
  return 0;
}
