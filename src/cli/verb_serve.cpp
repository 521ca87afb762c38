#include <pthread.h>

#include <csignal>
#include <memory>
#include <thread>
#include <vector>

#include <fmt/format.h>

#include "cli/devices_path.hpp"
#include "cli/verbs.hpp"
#include "compose/kept_memory.hpp"
#include "files/answer_json.hpp"
#include "larder/catalogue.hpp"
#include "server/addresses.hpp"
#include "server/server.hpp"
#include "store/store.hpp"

namespace oddgrist::cli {
namespace {

struct ServeOptions {
  server::Settings settings;
  std::string state;
  OutputOptions output;
};

bool asks_for_codes(const server::Settings& settings) { return settings.lan || settings.pair_all; }

std::string greeting_json(server::Server& server, const server::Settings& settings) {
  files::Json document{{"addresses", server.addresses()}, {"page", server.has_page()}};
  if (asks_for_codes(settings)) {
    document["pairing_code"] = server.pairing_code();
    document["pairing_link"] = server.pairing_link();
  }
  return document.dump() + '\n';
}

// For a camera: the address in the network, with the link behind it. Nothing if there is no such address.
std::string pairing_picture(server::Server& server) {
  const std::vector<std::string> addresses = server.addresses();
  if (addresses.size() < 2) return {};
  return server::qr_text(fmt::format("{}#pair={}", addresses[1], server.pairing_link()));
}

std::string greeting(server::Server& server, const server::Settings& settings) {
  const std::vector<std::string> addresses = server.addresses();
  std::string text = fmt::format("Oddgrist serves {}\n", addresses.front());
  if (!server.has_page()) text += "This build has no page, only the API under /api/: build it with ./dev build.\n";
  for (std::size_t i = 1; i < addresses.size(); ++i) text += fmt::format("In your network: {}\n", addresses[i]);
  if (asks_for_codes(settings)) {
    const std::string code = server.pairing_code();
    text += pairing_picture(server);
    text += fmt::format("To pair a device, point its camera here or type the code: {}\n", code);
    if (settings.certificate_path.empty())
      text += "Without --cert whoever listens in this network reads along; see docs/security.md.\n";
  }
  return text + "Ctrl-C ends it.\n";
}

// Ends the server on SIGINT, SIGTERM or SIGHUP. The signals are blocked in every thread and waited for in one, so that no handler
// interrupts anything half done.
class EndOnSignal {
 public:
  explicit EndOnSignal(server::Server& server) : server_(server) {
    sigemptyset(&signals_);
    for (const int signal : {SIGINT, SIGTERM, SIGHUP}) sigaddset(&signals_, signal);
    ::pthread_sigmask(SIG_BLOCK, &signals_, nullptr);
  }
  void start() {
    waiter_ = std::thread([this] {
      int signal = 0;
      ::sigwait(&signals_, &signal);
      server_.stop();
    });
  }
  // The server may have ended by itself: the waiter is woken the same way.
  ~EndOnSignal() {
    if (!waiter_.joinable()) return;
    ::pthread_kill(waiter_.native_handle(), SIGTERM);
    waiter_.join();
  }
  EndOnSignal(const EndOnSignal&) = delete;
  EndOnSignal& operator=(const EndOnSignal&) = delete;

 private:
  server::Server& server_;
  sigset_t signals_{};
  std::thread waiter_;
};

int run_serve(ServeOptions& options) {
  server::Settings& settings = options.settings;
  if (settings.certificate_path.empty() != settings.key_path.empty())
    return fail_usage(options.output.json, "--cert and --key belong together", "Give both, or neither for plain http");
  settings.devices_path = devices_path(options.state);
  server::Server* running = nullptr;
  settings.on_new_code = [&](const std::string& code) {
    complain(fmt::format("The code for the next device is now {}", code));
    if (running != nullptr && !options.output.json) complain(pairing_picture(*running));
  };
  settings.on_wrong_codes = [](int tries, const std::string& peer) {
    complain(fmt::format("{} wrong pairing codes were tried, the last from {}; nobody was let in", tries, peer));
  };
  if (settings.store_path.empty()) settings.store_path = store::default_store_path();
  server::Server server(settings);
  running = &server;
  if (const auto problem = server.open()) return fail(options.output, {*problem});
  larder::catalogue();  // read before the first request, and what reading it took given back
  compose::give_back_freed_memory();
  EndOnSignal end(server);
  const int said = emit(options.output,
                        options.output.json ? greeting_json(server, settings) : greeting(server, settings), all_well);
  if (said != all_well) return said;
  end.start();
  server.run();
  return all_well;
}

}  // namespace

void add_serve(CLI::App& app, int& exit_code) {
  auto options = std::make_shared<ServeOptions>();
  server::Settings& settings = options->settings;
  CLI::App* verb =
      app.add_subcommand("serve", "Serve the page, for this machine's browser or the phone in the brewhouse");
  verb->add_option("--port", settings.port, "The port; otherwise 8417; 0 takes any free one")
      ->type_name("N")
      ->check(CLI::Range(0, 65535).description(""));
  verb->add_flag("--lan", settings.lan, "Let devices of your network in, each after it has shown the code");
  verb->add_flag("--pair-all", settings.pair_all,
                 "Ask this machine's own browser for the code too (behind a proxy: always)");
  verb->add_option("--name", settings.names, "Another host name the page is reached by; once for each")
      ->type_name("HOST");
  verb->add_option("--cert", settings.certificate_path, "Your certificate chain (PEM): serve https")->type_name("FILE");
  verb->add_option("--key", settings.key_path, "Its private key (PEM)")->type_name("FILE");
  verb->add_option("--state", options->state, "Where paired devices are remembered; otherwise ~/.local/state/oddgrist")
      ->type_name("FOLDER");
  verb->add_option("--store", settings.store_path,
                   "The store gyles are kept in; otherwise $ODDGRIST_STORE, or the one in your data folder")
      ->type_name("FILE");
  add_output_options(*verb, options->output);
  add_example(*verb, "oddgrist serve --lan");
  verb->callback([options, &exit_code] { exit_code = run_serve(*options); });
}

}  // namespace oddgrist::cli
