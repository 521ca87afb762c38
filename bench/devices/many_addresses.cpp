// Preloaded into wrk: each connection goes out from the next of 200 addresses, 127.0.1.1 to 127.0.1.200, as from 200 devices. The server
// counts requests by address; from one address it would, rightly, answer 429.
#include <arpa/inet.h>
#include <dlfcn.h>
#include <netinet/in.h>
#include <sys/socket.h>

#include <atomic>

extern "C" int connect(int socket, const sockaddr* address, socklen_t size) {
  using Connect = int (*)(int, const sockaddr*, socklen_t);
  static const auto real = reinterpret_cast<Connect>(::dlsym(RTLD_NEXT, "connect"));
  static std::atomic<unsigned> count{0};
  if (address != nullptr && address->sa_family == AF_INET) {
    const int yes = 1;
    ::setsockopt(socket, IPPROTO_IP, IP_BIND_ADDRESS_NO_PORT, &yes, sizeof yes);
    sockaddr_in from{};
    from.sin_family = AF_INET;
    from.sin_addr.s_addr = htonl(0x7f000101U + count++ % 200U);
    if (::bind(socket, reinterpret_cast<const sockaddr*>(&from), sizeof from) != 0) return -1;
  }
  return real(socket, address, size);
}
