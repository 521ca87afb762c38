#include "server/server.hpp"

#include <condition_variable>
#include <mutex>
#include <thread>

#include <fmt/format.h>

#include "server/addresses.hpp"
#include "server/assets.hpp"
#include "server/certificate.hpp"
#include "server/head.hpp"
#include "server/listener.hpp"
#include "server/origin.hpp"
#include "server/problem_details.hpp"
#include "server/routes.hpp"

namespace oddgrist::server {
namespace {

constexpr std::chrono::seconds look_every{1};  // into the store and the list of devices, for what another program wrote
constexpr std::size_t most_gyles_kept = 64;    // as they stand now
constexpr std::size_t largest_unpaired_body = 4096;
constexpr std::string_view cookie_name = "oddgrist_device=";

// The page is its own files and nothing else: no inline script or style, no frame, no form that posts, no other host.
constexpr const char* content_policy =
    "default-src 'none'; script-src 'self'; style-src 'self'; img-src 'self'; connect-src 'self'; manifest-src 'self'; "
    "worker-src 'self'; base-uri 'none'; form-action 'none'; frame-ancestors 'none'";

std::vector<std::pair<std::string, std::string>> headers_of_everything(bool secure) {
  std::vector<std::pair<std::string, std::string>> headers{
      {"Content-Security-Policy", content_policy},
      {"X-Content-Type-Options", "nosniff"},
      {"X-Frame-Options", "DENY"},
      {"Referrer-Policy", "no-referrer"},
      {"Cross-Origin-Opener-Policy", "same-origin"},
      {"Cross-Origin-Resource-Policy", "same-origin"},
      {"Permissions-Policy", "camera=(), microphone=(), geolocation=()"}};
  if (secure) headers.emplace_back("Strict-Transport-Security", "max-age=31536000");
  return headers;
}

std::string token_of(std::string_view cookies) {
  const auto begin = cookies.find(cookie_name);
  if (begin == std::string_view::npos) return {};
  const auto value = begin + cookie_name.size();
  return std::string(cookies.substr(value, cookies.find(';', value) - value));
}

std::string plain_type(std::string_view header) {
  std::string type(header.substr(0, header.find(';')));
  std::erase(type, ' ');
  for (char& c : type) {
    if (c >= 'A' && c <= 'Z') c = static_cast<char>(c - 'A' + 'a');
  }
  return type;
}

Request request_of(const Head& head, Target target, const std::string& peer) {
  return {head.method,
          std::move(target.path),
          std::move(target.query),
          {},
          plain_type(head.field("content-type")),
          {},
          peer,
          token_of(head.field("cookie"))};
}

bool is_loopback(const std::string& peer) { return peer.starts_with("127.") || peer == "::1"; }

Reply asset_reply(const Head& head, const std::string& path) {
  const Asset* asset = head.method == "POST" ? nullptr : find_asset(path);
  if (asset == nullptr) return bare_problem(assets().empty() ? 503 : 404);
  Reply reply{200,
              std::string(asset->content_type),
              {},
              {{"ETag", asset->tag}, {"Cache-Control", "no-cache"}, {"Vary", "Accept-Encoding"}}};
  if (head.field("if-none-match") == asset->tag) {
    reply.status = 304;
    return reply;
  }
  const bool packed = !asset->packed.empty() && head.field("accept-encoding").find("gzip") != std::string_view::npos;
  reply.lasting = packed ? asset->packed : asset->plain;
  if (packed) reply.headers.emplace_back("Content-Encoding", "gzip");
  return reply;
}

Verdict answered(Reply reply, bool goes_on) {
  Verdict verdict;
  verdict.reply = std::move(reply);
  verdict.goes_on = goes_on;
  return verdict;
}

Verdict refused(int status) { return answered(bare_problem(status), false); }

}  // namespace

struct Server::Inner : Counter {
  explicit Inner(Settings wanted)
      : settings(std::move(wanted)),
        service{OpenBriefs(settings.most_open_briefs),
                Changes(settings.most_listeners),
                Devices(settings.devices_path, settings.on_new_code, settings.on_wrong_codes),
                RateLimit(settings.solves_per_second, settings.solves_at_once),
                Shelf(settings.store_path, service.changes),
                OnceMade(most_gyles_kept),
                KitLessons(),
                !settings.certificate_path.empty()},
        requests(settings.requests_per_second, settings.requests_at_once),
        listener(listening(), settings.patience, *this) {
    service.changes.on_change([this] { listener.tell(); });
  }

  std::optional<files::Problem> open();
  [[nodiscard]] Listening listening() const;
  [[nodiscard]] std::vector<std::string> hosts() const;
  [[nodiscard]] int stranger(const Head& head, bool api) const;
  [[nodiscard]] bool is_paired(const Request& request);
  [[nodiscard]] std::string scheme() const { return service.secure ? "https" : "http"; }

  [[nodiscard]] Verdict judge(const Head& head, const std::string& peer) override;
  [[nodiscard]] Verdict judge_api(const Head& head, Request request);
  [[nodiscard]] Reply work(const Request& request) override;
  [[nodiscard]] bool starts_listening() override { return service.changes.arrive(); }
  void stops_listening() override { service.changes.leave(); }
  [[nodiscard]] std::uint64_t latest_change() override { return service.changes.latest(); }
  [[nodiscard]] std::optional<std::string> news(const Request& request, std::uint64_t& seen) override;

  Settings settings;
  Service service;
  RateLimit requests;
  std::optional<OwnNames> names;
  Listener listener;
};

Listening Server::Inner::listening() const {
  return {settings.lan ? "0.0.0.0" : "127.0.0.1",
          settings.port,
          settings.certificate_path,
          settings.key_path,
          2.0 * settings.requests_per_second,
          2.0 * settings.requests_at_once,
          headers_of_everything(service.secure),
          settings.room};
}

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
  }
  if (auto problem = listener.open()) return problem;
  names.emplace(scheme(), hosts(), listener.port());
  return std::nullopt;
}

// The status for whoever comes from another site or by another name; 0 for our own.
int Server::Inner::stranger(const Head& head, bool api) const {
  const OriginHeaders headers{std::string(head.field("host")), std::string(head.field("origin")),
                              std::string(head.field("sec-fetch-site"))};
  switch (names->judge(headers, api)) {
    case OriginVerdict::wrong_host: return 421;
    case OriginVerdict::foreign: return 403;
    case OriginVerdict::ours: return 0;
  }
  return 403;
}

bool Server::Inner::is_paired(const Request& request) {
  if (!settings.pair_all && is_loopback(request.peer)) return true;
  return service.devices.knows(request.token);
}

// Nothing is looked up, and no body read, for whoever is refused here.
Verdict Server::Inner::judge(const Head& head, const std::string& peer) {
  if (!requests.allow(peer)) return answered(too_many(), false);
  if (auto refusal = refuse_head(head, settings.largest_body)) return answered(std::move(*refusal), false);
  auto target = read_target(head.target);
  if (!target) return refused(400);
  const bool api = target->path.starts_with("/api/");
  if (const int status = stranger(head, api); status != 0) return refused(status);
  if (!api) return answered(asset_reply(head, target->path), head.length() == 0);
  return judge_api(head, request_of(head, std::move(*target), peer));
}

Verdict Server::Inner::judge_api(const Head& head, Request request) {
  const bool paired = is_paired(request);
  const Found found = find_route(request, paired);
  if (found.route == nullptr) return refused(found.status);
  if (!paired && head.length() > largest_unpaired_body) return refused(413);
  Verdict verdict;
  verdict.goes_on = true;
  if (found.route->at_once) {
    verdict.reply = found.route->answer(service, request);
  } else {
    // A stream has no end that HEAD could tell of.
    if (found.route->answer == nullptr && head.method == "HEAD") return refused(405);
    verdict.next = found.route->answer == nullptr ? Verdict::Next::listen : Verdict::Next::work;
  }
  verdict.request = std::move(request);
  return verdict;
}

Reply Server::Inner::work(const Request& from) {
  Request request = from;
  const Found found = find_route(request, true);
  if (found.route == nullptr) return bare_problem(found.status);
  Reply reply = found.route->answer(service, request);
  // Whatever was asked: the page says it on every screen.
  if (found.route->access == Access::paired && service.shelf.damage())
    reply.headers.emplace_back("Oddgrist-Store", "read-only");
  return reply;
}

// Nothing for whoever is not paired any more.
std::optional<std::string> Server::Inner::news(const Request& request, std::uint64_t& seen) {
  if (!is_paired(request)) return std::nullopt;
  return service.changes.since(seen);
}

Server::Server(Settings settings) : inner_(std::make_unique<Inner>(std::move(settings))) {}
Server::~Server() = default;

std::optional<files::Problem> Server::open() { return inner_->open(); }
int Server::port() const { return inner_->listener.port(); }
bool Server::has_page() const { return !assets().empty(); }
std::string Server::pairing_code() { return inner_->service.devices.code(); }
std::string Server::pairing_link() { return inner_->service.devices.link(); }

std::vector<std::string> Server::addresses() const {
  std::vector<std::string> all{fmt::format("{}://127.0.0.1:{}/", inner_->scheme(), inner_->listener.port())};
  std::vector<std::string> others = inner_->settings.names;
  if (inner_->settings.lan) {
    const auto lan = lan_addresses();
    others.insert(others.end(), lan.begin(), lan.end());
  }
  for (const std::string& host : others)
    all.push_back(fmt::format("{}://{}:{}/", inner_->scheme(), host, inner_->listener.port()));
  return all;
}

void Server::run() {
  // The command line writes into the same files.
  const std::jthread watcher([this](const std::stop_token& end) {
    std::mutex mutex;
    std::condition_variable_any sleeping;
    std::unique_lock lock(mutex);
    while (!end.stop_requested()) {
      sleeping.wait_for(lock, end, look_every, [] { return false; });
      inner_->service.shelf.look();
      inner_->service.devices.refresh();
    }
  });
  inner_->listener.run();
}

void Server::stop() { inner_->listener.end(); }

void Server::publish(const std::string& topic, const std::string& subject) {
  inner_->service.changes.publish(topic, subject);
}

}  // namespace oddgrist::server
