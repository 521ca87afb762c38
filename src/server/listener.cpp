#include "server/listener.hpp"

#include <array>
#include <atomic>
#include <limits>
#include <set>
#include <utility>

#include <boost/asio/executor_work_guard.hpp>
#include <boost/asio/io_context.hpp>
#include <boost/asio/ip/tcp.hpp>
#include <boost/asio/post.hpp>
#include <boost/asio/ssl/context.hpp>
#include <boost/asio/steady_timer.hpp>
#include <boost/asio/thread_pool.hpp>
#include <boost/beast/core/flat_buffer.hpp>
#include <boost/beast/http.hpp>
#include <boost/beast/ssl/ssl_stream.hpp>

#include <fmt/format.h>

#include "server/problem_details.hpp"
#include "server/rate_limit.hpp"

namespace oddgrist::server {
namespace {

namespace asio = boost::asio;
namespace beast = boost::beast;
namespace http = boost::beast::http;
using asio::ip::tcp;
using Clock = Guest::Clock;
using Error = boost::system::error_code;
using SecureStream = beast::ssl_stream<tcp::socket>;

constexpr std::size_t workers = 16;
constexpr std::chrono::milliseconds look_round{250};  // for whoever is overdue
constexpr std::chrono::milliseconds breath{100};      // before the next caller, when the system grants no more sockets
constexpr std::size_t most_thrown_away = std::size_t{1} << 20;  // of what a refused caller goes on sending
constexpr Clock::time_point never = Clock::time_point::max();

tcp::socket& socket_of(tcp::socket& stream) { return stream; }
tcp::socket& socket_of(SecureStream& stream) { return stream.next_layer(); }

std::string small_letters(beast::string_view text) {
  std::string small(text);
  for (char& c : small) {
    if (c >= 'A' && c <= 'Z') c = static_cast<char>(c - 'A' + 'a');
  }
  return small;
}

Head head_of(const http::request<http::empty_body>& request) {
  Head head{std::string(request.method_string()), std::string(request.target()), {}};
  for (const auto& field : request)
    head.fields.emplace_back(small_letters(field.name_string()), std::string(field.value()));
  return head;
}

bool one_line(std::string_view text) {
  return text.find_first_of(std::string_view("\r\n\0", 3)) == std::string_view::npos;
}

// For the case that not even memory for words is left.
Reply fault() noexcept {
  try {
    return bare_problem(500);
  } catch (...) {
    return Reply{500, {}, {}, {}, {}};
  }
}

files::Problem cannot_open(std::string where, std::string what, std::string remedy) {
  files::Problem problem;
  problem.place.file = std::move(where);
  problem.what = std::move(what);
  problem.remedy = std::move(remedy);
  problem.trouble = files::Trouble::cannot_open;
  return problem;
}

}  // namespace

class Visit;

struct Listener::Inner {
  Inner(Listening wanted, Patience how_long, Counter& whom)
      : listening(std::move(wanted)),
        patience(how_long),
        counter(whom),
        guests(listening.room),
        arrivals(listening.arrivals_per_second, listening.arrivals_at_once) {}

  void accept();
  void take_in(tcp::socket socket);
  void watch();
  void tell_all();
  void begin_to_end();
  [[nodiscard]] bool make_room(std::size_t bytes);
  void show_out(Guest& guest);
  void gone(const std::shared_ptr<Visit>& visit);

  const Listening listening;
  const Patience patience;
  Counter& counter;
  Guests guests;
  RateLimit arrivals;
  asio::io_context io{1};
  std::optional<asio::thread_pool>
      pool;  // made by run(), so that its threads have the signal mask of whoever calls that
  std::optional<asio::ssl::context> tls;
  tcp::acceptor acceptor{io};
  asio::steady_timer round{io}, pause{io};
  std::set<std::shared_ptr<Visit>> visits;
  std::array<char, 4096> thrown_away{};  // written by many, read by nobody
  std::atomic<bool> told{false};
  bool ending = false;
  int port = 0;
};

// One connection, from its arrival to its end.
class Visit : public Guest {
 public:
  Visit() = default;
  virtual ~Visit() = default;
  Visit(const Visit&) = delete;
  Visit& operator=(const Visit&) = delete;

  virtual void begin() = 0;
  virtual void close() = 0;  // at once; what is under way comes to nothing
  virtual void tell() = 0;   // news, if it listens and is not being told already
};

namespace {

template <class Stream>
class Session final : public Visit, public std::enable_shared_from_this<Session<Stream>> {
 public:
  Session(Listener::Inner& house, Stream stream) : house_(house), stream_(std::move(stream)) {}

  void begin() override;
  void close() override;
  void tell() override;

 private:
  void enter(Stage stage_now, std::chrono::milliseconds patience) {
    stage = stage_now;
    since = Clock::now();
    deadline = since + patience;
  }
  void read_head();
  void on_head(const Error& error);
  void read_body(std::size_t length);
  void work();
  void send(Reply reply, bool goes_on);
  void on_sent();
  void listen();
  void say(std::string text);
  void leave();
  void throw_away();

  // Calls `then` unless the connection has been closed meanwhile or something went wrong with it; then it is closed.
  template <class Then>
  auto going_on(Then then) {
    return [self = this->shared_from_this(), then = std::move(then)](const Error& error, auto&&...) {
      if (self->closed_) return;
      if (error) {
        self->close();
      } else {
        then(*self);
      }
    };
  }

  Listener::Inner& house_;
  Stream stream_;
  beast::flat_buffer buffer_{most_head_bytes};
  std::optional<http::request_parser<http::empty_body>> head_;
  std::optional<http::request_parser<http::string_body>> body_;
  std::optional<http::response<http::span_body<const char>>> response_;
  Request request_;
  Reply reply_;
  std::string saying_;
  Clock::time_point said_at_;
  std::uint64_t seen_ = 0;
  std::size_t thrown_away_ = 0;
  bool head_only_ = false, goes_on_ = false, listens_ = false, closed_ = false;
};

template <class Stream>
void Session<Stream>::begin() {
  enter(Stage::arriving, house_.patience.head);
  if constexpr (std::is_same_v<Stream, SecureStream>) {
    stream_.async_handshake(asio::ssl::stream_base::server, going_on([](Session& self) { self.read_head(); }));
  } else {
    read_head();
  }
}

template <class Stream>
void Session<Stream>::close() {
  if (closed_) return;
  closed_ = true;
  Error ignored;
  socket_of(stream_).close(ignored);
  if (listens_) house_.counter.stops_listening();
  house_.guests.left(*this);
  house_.gone(this->shared_from_this());
}

template <class Stream>
void Session<Stream>::read_head() {
  body_.reset();
  head_.emplace();
  head_->header_limit(most_head_bytes);
  head_->body_limit(std::numeric_limits<std::uint64_t>::max());  // the counter judges the stated length
  http::async_read_header(stream_, buffer_, *head_, [self = this->shared_from_this()](const Error& error, std::size_t) {
    if (!self->closed_) self->on_head(error);
  });
}

template <class Stream>
void Session<Stream>::on_head(const Error& error) {
  goes_on_ = false;
  head_only_ = head_->get().method() == http::verb::head;
  if (error == http::error::header_limit || error == http::error::buffer_overflow)
    return send(bare_problem(431), false);
  const bool gone = error == http::error::end_of_stream || error == http::error::partial_message;
  if (error && (gone || error.category() != make_error_code(http::error::bad_method).category())) return close();
  if (error) return send(bare_problem(error == http::error::bad_transfer_encoding ? 411 : 400), false);
  Verdict verdict;
  try {
    verdict = house_.counter.judge(head_of(head_->get()), address);
  } catch (...) {
    verdict = {};
    verdict.reply = fault();
  }
  goes_on_ = verdict.goes_on && head_->get().keep_alive() && !house_.ending;
  request_ = std::move(verdict.request);
  if (verdict.next == Verdict::Next::reply) return send(std::move(verdict.reply), goes_on_);
  if (verdict.next == Verdict::Next::listen) return listen();
  const auto length = head_->content_length();
  if (length.has_value() && *length > 0) {
    read_body(static_cast<std::size_t>(*length));
  } else {
    work();
  }
}

template <class Stream>
void Session<Stream>::read_body(std::size_t length) {
  if (!house_.make_room(length)) return send(bare_problem(503), false);
  enter(Stage::sending, house_.patience.body);
  house_.guests.holds(*this, length);
  body_.emplace(std::move(*head_));
  body_->body_limit(length);
  http::async_read(stream_, buffer_, *body_, going_on([](Session& self) {
                     self.request_.body = std::move(self.body_->get().body());
                     self.work();
                   }));
}

template <class Stream>
void Session<Stream>::work() {
  enter(Stage::answered, house_.patience.reply);
  asio::post(*house_.pool, [self = this->shared_from_this(), open = asio::make_work_guard(house_.io)]() mutable {
    Reply reply;
    try {
      reply = self->house_.counter.work(self->request_);
    } catch (...) {
      reply = fault();
    }
    asio::io_context& io = self->house_.io;  // where it also ends, if this was the last to know it
    asio::post(io, [self = std::move(self), reply = std::move(reply)]() mutable {
      if (!self->closed_) self->send(std::move(reply), self->goes_on_);
    });
  });
}

template <class Stream>
void Session<Stream>::send(Reply reply, bool goes_on) {
  enter(Stage::reading, house_.patience.reply);
  goes_on_ = goes_on && !house_.ending;
  request_ = {};
  reply_ = std::move(reply);
  reply_.body.shrink_to_fit();  // it is kept until the other end has read it
  house_.guests.holds(*this, 0);
  static_cast<void>(house_.make_room(reply_.body.size()));
  house_.guests.holds(*this, reply_.body.size());
  const std::string_view text = reply_.lasting.empty() ? std::string_view(reply_.body) : reply_.lasting;
  auto& response = response_.emplace(static_cast<http::status>(reply_.status), 11U);
  for (const auto& [name, value] : house_.listening.headers) response.set(name, value);
  response.set(http::field::cache_control, "no-store");
  for (const auto& [name, value] : reply_.headers) {
    if (one_line(value)) response.set(name, value);
  }
  response.keep_alive(goes_on_);
  if (reply_.status != 304) {
    response.set(http::field::content_type, reply_.content_type);
    response.content_length(text.size());
    if (!head_only_) response.body() = {text.data(), text.size()};
  }
  http::async_write(stream_, response, going_on([](Session& self) { self.on_sent(); }));
}

template <class Stream>
void Session<Stream>::on_sent() {
  response_.reset();
  reply_ = {};
  house_.guests.holds(*this, 0);
  if (!goes_on_ || house_.ending) return leave();
  enter(Stage::idle, house_.patience.idle);
  read_head();
}

template <class Stream>
void Session<Stream>::listen() {
  if (!house_.guests.may_listen(address) || !house_.counter.starts_listening()) return send(bare_problem(503), false);
  listens_ = true;
  seen_ = house_.counter.latest_change();
  enter(Stage::listening, house_.patience.news);
  // Without a length: the stream is over when the connection is.
  std::string text =
      "HTTP/1.1 200 OK\r\nContent-Type: text/event-stream\r\nCache-Control: no-store\r\nConnection: close\r\n";
  for (const auto& [name, value] : house_.listening.headers) text += fmt::format("{}: {}\r\n", name, value);
  say(text + "\r\nretry: 2000\n\n");
  // It has nothing more to say; this only notices when it goes.
  socket_of(stream_).async_wait(tcp::socket::wait_read, going_on([](Session& self) { self.close(); }));
}

template <class Stream>
void Session<Stream>::say(std::string text) {
  saying_ = std::move(text);
  said_at_ = Clock::now();
  deadline = said_at_ + house_.patience.news;
  asio::async_write(stream_, asio::buffer(saying_), going_on([](Session& self) {
                      self.saying_.clear();
                      self.deadline = never;
                      if (self.house_.ending) return self.leave();
                      self.tell();
                    }));
}

template <class Stream>
void Session<Stream>::tell() {
  if (stage != Stage::listening || !saying_.empty()) return;
  if (house_.ending) return leave();
  auto text = house_.counter.news(request_, seen_);
  if (!text) return leave();
  if (text->empty() && Clock::now() - said_at_ >= house_.patience.beat) text = ": still here\n\n";
  if (!text->empty()) say(std::move(*text));
}

// Closing with something unread would make the system drop what was sent: the other end is left time to read it.
template <class Stream>
void Session<Stream>::leave() {
  enter(Stage::leaving, house_.patience.leave);
  thrown_away_ = 0;
  const auto after = [self = this->shared_from_this()](const Error&) {
    if (self->closed_) return;
    Error ignored;
    socket_of(self->stream_).shutdown(tcp::socket::shutdown_send, ignored);
    self->throw_away();
  };
  if constexpr (std::is_same_v<Stream, SecureStream>) {
    stream_.async_shutdown(after);
  } else {
    after({});
  }
}

template <class Stream>
void Session<Stream>::throw_away() {
  socket_of(stream_).async_read_some(asio::buffer(house_.thrown_away),
                                     [self = this->shared_from_this()](const Error& error, std::size_t size) {
                                       if (self->closed_) return;
                                       self->thrown_away_ += size;
                                       if (error || self->thrown_away_ > most_thrown_away) return self->close();
                                       self->throw_away();
                                     });
}

}  // namespace

void Listener::Inner::accept() {
  acceptor.async_accept([this](const Error& error, tcp::socket socket) {
    if (!acceptor.is_open()) return;
    if (!error) take_in(std::move(socket));
    // Out of sockets, say: without a breath this would spin.
    if (error && error != asio::error::connection_aborted) {
      pause.expires_after(breath);
      pause.async_wait([this](const Error& stopped) {
        if (!stopped && acceptor.is_open()) accept();
      });
      return;
    }
    accept();
  });
}

void Listener::Inner::take_in(tcp::socket socket) {
  Error error;
  const auto peer = socket.remote_endpoint(error);
  if (error) return;
  const std::string address = peer.address().to_string();
  if (!arrivals.allow(address)) return;
  const Guests::Place place = guests.place_for(address);
  if (place.full) return;
  if (place.gives_way != nullptr) show_out(*place.gives_way);
  socket.set_option(tcp::no_delay(true), error);
  std::shared_ptr<Visit> visit;
  if (tls) {
    visit = std::make_shared<Session<SecureStream>>(*this, SecureStream(std::move(socket), *tls));
  } else {
    visit = std::make_shared<Session<tcp::socket>>(*this, std::move(socket));
  }
  visit->address = address;
  guests.arrived(*visit);
  visits.insert(visit);
  visit->begin();
}

void Listener::Inner::show_out(Guest& guest) { static_cast<Visit&>(guest).close(); }

void Listener::Inner::gone(const std::shared_ptr<Visit>& visit) {
  visits.erase(visit);
  if (ending && visits.empty()) round.cancel();
}

bool Listener::Inner::make_room(std::size_t bytes) {
  while (!guests.may_hold(bytes)) {
    Guest* goes = guests.holds_longest();
    if (goes == nullptr) return false;
    show_out(*goes);
  }
  return true;
}

void Listener::Inner::watch() {
  round.expires_after(look_round);
  round.async_wait([this](const Error& stopped) {
    if (stopped) return;
    for (Guest* late : guests.overdue(Clock::now())) show_out(*late);
    tell_all();
    if (!ending || !visits.empty()) watch();
  });
}

void Listener::Inner::tell_all() {
  told = false;
  const auto all = visits;
  for (const auto& visit : all) visit->tell();
}

void Listener::Inner::begin_to_end() {
  if (std::exchange(ending, true)) return;
  Error ignored;
  acceptor.close(ignored);
  pause.cancel();
  const auto end = Clock::now() + patience.end;
  const auto all = visits;
  for (const auto& visit : all) {
    if (visit->stage == Stage::answered || visit->stage == Stage::reading) {
      visit->deadline = std::min(visit->deadline, end);
    } else if (visit->stage == Stage::listening) {
      visit->tell();
      if (visit->stage == Stage::listening) visit->deadline = std::min(visit->deadline, end);
    } else if (visit->stage != Stage::leaving) {
      visit->close();
    }
  }
  if (visits.empty()) round.cancel();
}

Listener::Listener(Listening wanted, Patience patience, Counter& counter)
    : inner_(std::make_unique<Inner>(std::move(wanted), patience, counter)) {}

Listener::~Listener() {
  if (inner_->pool) inner_->pool->join();
  inner_->visits.clear();
}

std::optional<files::Problem> Listener::open() {
  const Listening& wanted = inner_->listening;
  Error error;
  if (!wanted.certificate_path.empty()) {
    auto& tls = inner_->tls.emplace(asio::ssl::context::tls_server);
    SSL_CTX* const context = tls.native_handle();
    SSL_CTX_set_min_proto_version(context, TLS1_2_VERSION);
    SSL_CTX_set_options(context, SSL_OP_NO_RENEGOTIATION | SSL_OP_NO_COMPRESSION | SSL_OP_CIPHER_SERVER_PREFERENCE);
    SSL_CTX_set_session_cache_mode(context, SSL_SESS_CACHE_OFF);
    SSL_CTX_set_mode(context, SSL_MODE_RELEASE_BUFFERS);
    tls.use_certificate_chain_file(wanted.certificate_path, error);
    if (!error) tls.use_private_key_file(wanted.key_path, asio::ssl::context::pem, error);
    if (error) {
      return cannot_open(wanted.certificate_path,
                         fmt::format("certificate and key ({}) cannot be used together", wanted.key_path),
                         "Give a certificate chain and its private key, both as PEM files");
    }
  }
  const tcp::endpoint where(asio::ip::make_address(wanted.address), static_cast<std::uint16_t>(wanted.port));
  tcp::acceptor& acceptor = inner_->acceptor;
  acceptor.open(where.protocol(), error);
  if (!error) acceptor.set_option(tcp::acceptor::reuse_address(true), error);
  if (!error) acceptor.bind(where, error);
  if (!error) acceptor.listen(tcp::acceptor::max_listen_connections, error);
  if (error) {
    return cannot_open(fmt::format("{}:{}", wanted.address, wanted.port), "cannot listen there",
                       "Another program may use the port: choose one with --port, or 0 for any free one");
  }
  inner_->port = acceptor.local_endpoint().port();
  return std::nullopt;
}

int Listener::port() const { return inner_->port; }

void Listener::run() {
  inner_->pool.emplace(workers);
  inner_->accept();
  inner_->watch();
  for (;;) {
    try {
      inner_->io.run();
      return;
    } catch (...) {
      // Out of memory, say. Whom it happened to is shown out when overdue; the others go on.
    }
  }
}

void Listener::end() {
  asio::post(inner_->io, [inner = inner_.get()] { inner->begin_to_end(); });
}

void Listener::tell() {
  if (inner_->told.exchange(true)) return;
  asio::post(inner_->io, [inner = inner_.get()] { inner->tell_all(); });
}

}  // namespace oddgrist::server
