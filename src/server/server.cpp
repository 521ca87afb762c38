#include "server/server.hpp"

#include <algorithm>
#include <atomic>
#include <condition_variable>
#include <filesystem>
#include <thread>

#include <fmt/format.h>

#include "server/addresses.hpp"
#include "server/assets.hpp"
#include "server/certificate.hpp"
#include "server/origin.hpp"
#include "server/problem_details.hpp"
#include "server/routes.hpp"
#include "server/workers.hpp"

// Last: it defines _res as a macro (through resolv.h), and Eigen has parameters of that name.
#include <httplib.h>

namespace oddgrist::server {
namespace {

constexpr int seconds_to_read = 10, seconds_to_write = 10;
constexpr std::chrono::seconds heartbeat{15};
constexpr std::chrono::seconds look_every{1};  // into the store, for what another program wrote
constexpr std::size_t most_at_work = 40;       // threads, beside one for each listener
constexpr std::size_t most_gyles_kept = 64;    // as they stand now
constexpr std::string_view cookie_name = "oddgrist_device=";

// The page is its own files and nothing else: no inline script or style, no frame, no form that posts, no other host.
constexpr const char* content_policy =
    "default-src 'none'; script-src 'self'; style-src 'self'; img-src 'self'; connect-src 'self'; manifest-src 'self'; "
    "worker-src 'self'; base-uri 'none'; form-action 'none'; frame-ancestors 'none'";

httplib::Headers headers_of_everything(bool secure) {
  httplib::Headers headers{{"Content-Security-Policy", content_policy},
                           {"X-Content-Type-Options", "nosniff"},
                           {"X-Frame-Options", "DENY"},
                           {"Referrer-Policy", "no-referrer"},
                           {"Cross-Origin-Opener-Policy", "same-origin"},
                           {"Cross-Origin-Resource-Policy", "same-origin"},
                           {"Permissions-Policy", "camera=(), microphone=(), geolocation=()"}};
  if (secure) headers.emplace("Strict-Transport-Security", "max-age=31536000");
  return headers;
}

void fill(httplib::Response& response, const Reply& reply) {
  response.status = reply.status;
  for (const auto& [name, value] : reply.headers) response.set_header(name, value);
  if (!response.has_header("Cache-Control")) response.set_header("Cache-Control", "no-store");
  response.set_content(reply.body, reply.content_type.c_str());
}

std::string token_of(const std::string& cookies) {
  const auto begin = cookies.find(cookie_name);
  if (begin == std::string::npos) return {};
  const auto value = begin + cookie_name.size();
  return cookies.substr(value, cookies.find(';', value) - value);
}

std::string plain_type(const std::string& header) {
  std::string type = header.substr(0, header.find(';'));
  type.erase(std::remove(type.begin(), type.end(), ' '), type.end());
  for (char& c : type) {
    if (c >= 'A' && c <= 'Z') c = static_cast<char>(c - 'A' + 'a');
  }
  return type;
}

Request request_of(const httplib::Request& from) {
  Request request{from.method,
                  from.path,
                  {},
                  {},
                  plain_type(from.get_header_value("Content-Type")),
                  from.body,
                  from.remote_addr,
                  token_of(from.get_header_value("Cookie"))};
  for (const auto& [name, value] : from.params) request.query.emplace(name, value);
  return request;
}

files::Problem cannot_open(std::string where, std::string what, std::string remedy) {
  files::Problem problem;
  problem.place.file = std::move(where);
  problem.what = std::move(what);
  problem.remedy = std::move(remedy);
  problem.trouble = files::Trouble::cannot_open;
  return problem;
}

bool is_loopback(const std::string& peer) { return peer.starts_with("127.") || peer == "::1"; }

void answer_asset(const httplib::Request& request, httplib::Response& response) {
  const Asset* asset = request.method == "GET" || request.method == "HEAD" ? find_asset(request.path) : nullptr;
  if (asset == nullptr) {
    fill(response, bare_problem(assets().empty() ? 503 : 404));
    return;
  }
  response.set_header("ETag", asset->tag);
  response.set_header("Cache-Control", "no-cache");
  response.set_header("Vary", "Accept-Encoding");
  if (request.get_header_value("If-None-Match") == asset->tag) {
    response.status = 304;
    return;
  }
  const bool packed =
      !asset->packed.empty() && request.get_header_value("Accept-Encoding").find("gzip") != std::string::npos;
  const std::string_view body = packed ? asset->packed : asset->plain;
  // The HTTP library would pack the body again, were its type one it knows; a provider of known length it leaves alone.
  if (packed) response.set_header("Content-Encoding", "gzip");
  response.set_content_provider(body.size(), std::string(asset->content_type).c_str(),
                                [body](std::size_t offset, std::size_t length, httplib::DataSink& sink) {
                                  return sink.write(body.data() + offset, length);
                                });
}

// The library's queue of connections, worked off by threads of ours.
class Connections : public httplib::TaskQueue {
 public:
  explicit Connections(Workers& workers) : workers_(workers) {}
  void enqueue(std::function<void()> job) override { workers_.add(std::move(job)); }
  void shutdown() override { workers_.end(); }

 private:
  Workers& workers_;
};

}  // namespace

struct Server::Inner {
  explicit Inner(Settings wanted)
      : settings(std::move(wanted)),
        service{OpenBriefs(settings.most_open_briefs),
                Changes(settings.most_listeners),
                Devices(settings.devices_path, settings.on_new_code),
                RateLimit(settings.solves_per_second, settings.solves_at_once),
                Shelf(settings.store_path, service.changes),
                OnceMade(most_gyles_kept),
                KitLessons(),
                !settings.certificate_path.empty()},
        requests(settings.requests_per_second, settings.requests_at_once) {}

  std::optional<files::Problem> open();
  void set_up();
  [[nodiscard]] std::vector<std::string> hosts() const;
  [[nodiscard]] std::optional<Reply> refusal(const httplib::Request& request);
  [[nodiscard]] bool is_paired(const Request& request);
  void answer(const httplib::Request& request, httplib::Response& response);
  void stream_changes(httplib::Response& response);
  [[nodiscard]] std::string scheme() const { return service.secure ? "https" : "http"; }

  Settings settings;
  Service service;
  RateLimit requests;
  Workers workers{most_at_work};
  std::unique_ptr<httplib::Server> http;
  socket_t listening = INVALID_SOCKET;
  std::optional<OwnNames> names;
  int port = 0;
};

std::vector<std::string> Server::Inner::hosts() const {
  std::vector<std::string> all{"127.0.0.1", "localhost", "[::1]"};
  if (settings.lan) {
    for (auto& address : lan_addresses()) all.push_back(std::move(address));
    for (auto& name : own_host_names()) all.push_back(std::move(name));
  }
  all.insert(all.end(), settings.names.begin(), settings.names.end());
  return all;
}

std::optional<files::Problem> Server::Inner::open() {
  if (auto problem = service.devices.load()) return problem;
  if (service.secure) {
    if (auto problem = problem_with_certificate(settings.certificate_path, settings.key_path)) return problem;
    auto tls = std::make_unique<httplib::SSLServer>(settings.certificate_path.c_str(), settings.key_path.c_str());
    if (!tls->is_valid()) {
      return cannot_open(settings.certificate_path,
                         fmt::format("certificate and key ({}) cannot be used together", settings.key_path),
                         "Give a certificate chain and its private key, both as PEM files");
    }
    http = std::move(tls);
  } else {
    http = std::make_unique<httplib::Server>();
  }
  set_up();
  const std::string address = settings.lan ? "0.0.0.0" : "127.0.0.1";
  if (settings.port == 0) {
    port = http->bind_to_any_port(address);
  } else if (http->bind_to_port(address, settings.port)) {
    port = settings.port;
  }
  if (port <= 0) {
    return cannot_open(fmt::format("{}:{}", address, settings.port), "cannot listen there",
                       "Another program may use the port: choose one with --port, or 0 for any free one");
  }
  // The library lets five callers wait at the door. Many devices together are more, and whoever is not let in tries again only a
  // second later. The kernel takes the number said last.
  ::listen(listening, SOMAXCONN);
  names.emplace(scheme(), hosts(), port);
  return std::nullopt;
}

void Server::Inner::set_up() {
  http->set_default_headers(headers_of_everything(service.secure));
  http->set_payload_max_length(settings.largest_body);
  http->set_read_timeout(seconds_to_read);
  http->set_write_timeout(seconds_to_write);
  http->set_tcp_nodelay(true);
  // One request a connection: what is left of a refused body can then never be taken for the next request, and no idle connection
  // holds a worker.
  http->set_keep_alive_max_count(1);
  // SO_REUSEADDR alone: with the library's SO_REUSEPORT two servers would share the port without a word.
  http->set_socket_options([this](socket_t socket) {
    const int yes = 1;
    ::setsockopt(socket, SOL_SOCKET, SO_REUSEADDR, &yes, sizeof yes);
    listening = socket;
  });
  http->new_task_queue = [this] { return new Connections(workers); };
  http->set_pre_routing_handler([](const httplib::Request& request, httplib::Response& response) {
    // A body without a stated length or packed would get round the limit on its size.
    if (request.has_header("Transfer-Encoding")) {
      fill(response, bare_problem(411));
    } else if (request.has_header("Content-Encoding")) {
      fill(response, bare_problem(415));
    } else {
      return httplib::Server::HandlerResponse::Unhandled;
    }
    return httplib::Server::HandlerResponse::Handled;
  });
  const auto handler = [this](const httplib::Request& request, httplib::Response& response) {
    answer(request, response);
  };
  http->Get(".*", handler).Post(".*", handler).Put(".*", handler).Patch(".*", handler).Delete(".*", handler);
  http->Options(".*", handler);
  http->set_error_handler([](const httplib::Request&, httplib::Response& response) {
    if (response.body.empty()) fill(response, bare_problem(response.status));
  });
  http->set_exception_handler([](const httplib::Request&, httplib::Response& response, std::exception_ptr) {
    fill(response, bare_problem(500));
  });
}

// Nothing is read or done for whoever gets one of these.
std::optional<Reply> Server::Inner::refusal(const httplib::Request& request) {
  if (!requests.allow(request.remote_addr)) {
    Reply reply = bare_problem(429);
    reply.headers.emplace_back("Retry-After", "1");
    return reply;
  }
  const bool api = request.path.starts_with("/api/");
  const OriginHeaders headers{request.get_header_value("Host"), request.get_header_value("Origin"),
                              request.get_header_value("Sec-Fetch-Site")};
  switch (names->judge(headers, api)) {
    case OriginVerdict::wrong_host: return bare_problem(421);
    case OriginVerdict::foreign: return bare_problem(403);
    case OriginVerdict::ours: return std::nullopt;
  }
  return bare_problem(403);
}

bool Server::Inner::is_paired(const Request& request) {
  if (!settings.pair_all && is_loopback(request.peer)) return true;
  return service.devices.knows(request.token);
}

void Server::Inner::answer(const httplib::Request& from, httplib::Response& response) {
  if (const auto refused = refusal(from)) {
    fill(response, *refused);
    return;
  }
  if (!from.path.starts_with("/api/")) {
    answer_asset(from, response);
    return;
  }
  const Request request = request_of(from);
  const bool paired = is_paired(request);
  if (request.path == "/api/changes" && request.method == "GET" && paired) {
    stream_changes(response);
  } else {
    fill(response, answer_api(service, request, paired));
  }
}

void Server::Inner::stream_changes(httplib::Response& response) {
  if (!service.changes.arrive()) {
    fill(response, bare_problem(503));
    return;
  }
  workers.step_aside();
  auto seen = std::make_shared<std::uint64_t>(service.changes.latest());
  auto greeted = std::make_shared<bool>(false);
  response.set_header("Cache-Control", "no-store");
  response.set_chunked_content_provider(
      "text/event-stream",
      [this, seen, greeted](std::size_t, httplib::DataSink& sink) {
        const std::string text = *greeted ? service.changes.next(*seen, heartbeat) : std::string("retry: 2000\n\n");
        *greeted = true;
        if (text.empty()) {
          sink.done();
          return true;
        }
        return sink.write(text.data(), text.size());
      },
      [this](bool) {
        workers.step_back();
        service.changes.leave();
      });
}

Server::Server(Settings settings) : inner_(std::make_unique<Inner>(std::move(settings))) {}
Server::~Server() = default;

std::optional<files::Problem> Server::open() { return inner_->open(); }
int Server::port() const { return inner_->port; }
bool Server::has_page() const { return !assets().empty(); }
std::string Server::pairing_code() { return inner_->service.devices.code(); }

std::vector<std::string> Server::addresses() const {
  std::vector<std::string> all{fmt::format("{}://127.0.0.1:{}/", inner_->scheme(), inner_->port)};
  std::vector<std::string> others = inner_->settings.names;
  if (inner_->settings.lan) {
    const auto lan = lan_addresses();
    others.insert(others.end(), lan.begin(), lan.end());
  }
  for (const std::string& host : others)
    all.push_back(fmt::format("{}://{}:{}/", inner_->scheme(), host, inner_->port));
  return all;
}

void Server::run() {
  // The command line writes into the same store.
  const std::jthread watcher([this](const std::stop_token& end) {
    std::mutex mutex;
    std::condition_variable_any sleeping;
    std::unique_lock lock(mutex);
    while (!end.stop_requested()) {
      sleeping.wait_for(lock, end, look_every, [] { return false; });
      inner_->service.shelf.look();
    }
  });
  inner_->http->listen_after_bind();
}

void Server::stop() {
  inner_->service.changes.end();
  inner_->http->stop();
}

void Server::publish(const std::string& topic, const std::string& subject) {
  inner_->service.changes.publish(topic, subject);
}

}  // namespace oddgrist::server
