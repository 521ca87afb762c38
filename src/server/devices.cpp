#include "server/devices.hpp"

#include <fcntl.h>
#include <sodium.h>
#include <sys/file.h>
#include <unistd.h>

#include <algorithm>
#include <array>
#include <ctime>
#include <filesystem>
#include <stdexcept>
#include <string_view>

#include <fmt/chrono.h>

#include "files/answer_json.hpp"
#include "files/text_file.hpp"

namespace oddgrist::server {
namespace {

using files::Json;

// No letter or digit that is taken for another.
constexpr std::string_view code_letters = "23456789ABCDEFGHJKMNPQRSTVWXYZ";
constexpr int code_length = 6;
constexpr std::size_t most_devices = 200;
constexpr std::size_t longest_name = 60;
constexpr std::size_t longest_token = 128;
constexpr std::size_t id_length = 12;
constexpr int wrong_codes_worth_a_word = 5;
constexpr std::chrono::minutes between_words{10}, between_writes{10};

std::string hex(const unsigned char* bytes, std::size_t size) {
  std::string text(2 * size + 1, '\0');
  sodium_bin2hex(text.data(), text.size(), bytes, size);
  text.pop_back();
  return text;
}

std::string new_token() {
  std::array<unsigned char, 32> bytes{};
  randombytes_buf(bytes.data(), bytes.size());
  return hex(bytes.data(), bytes.size());
}

std::string new_link() {
  constexpr int variant = sodium_base64_VARIANT_URLSAFE_NO_PADDING;
  std::array<unsigned char, 16> bytes{};
  randombytes_buf(bytes.data(), bytes.size());
  std::string text(sodium_base64_encoded_len(bytes.size(), variant), '\0');
  sodium_bin2base64(text.data(), text.size(), bytes.data(), bytes.size(), variant);
  text.pop_back();
  return text;
}

// A token is 256 random bits, so a plain hash of it gives nothing away: nobody can try them all.
std::string hash_of(const std::string& token) {
  std::array<unsigned char, crypto_generichash_BYTES> digest{};
  crypto_generichash(digest.data(), digest.size(), reinterpret_cast<const unsigned char*>(token.data()), token.size(),
                     nullptr, 0);
  return hex(digest.data(), digest.size());
}

bool same(const std::string& a, const std::string& b) {
  return a.size() == b.size() && sodium_memcmp(a.data(), b.data(), a.size()) == 0;
}

// As a person types it: small letters, spaces and hyphens.
std::string typed_code(const std::string& text) {
  std::string code;
  for (const char c : text) {
    if (c >= 'a' && c <= 'z') code += static_cast<char>(c - 'a' + 'A');
    if ((c >= 'A' && c <= 'Z') || (c >= '0' && c <= '9')) code += c;
  }
  return code;
}

// A device names itself, and the name is shown on terminals: no control characters, neither those of ASCII nor U+0080 to U+009F, and cut
// between two characters.
std::string tame_name(const std::string& name) {
  std::string tame;
  for (std::size_t i = 0; i < name.size(); ++i) {
    const auto byte = static_cast<unsigned char>(name[i]);
    const auto next = i + 1 < name.size() ? static_cast<unsigned char>(name[i + 1]) : 0;
    if (byte == 0xc2 && next >= 0x80 && next < 0xa0) {
      ++i;
    } else if (byte >= 0x20 && byte != 0x7f) {
      tame += name[i];
    }
  }
  if (tame.size() > longest_name) {
    std::size_t end = longest_name;
    while (end > 0 && (static_cast<unsigned char>(tame[end]) & 0xc0) == 0x80) --end;
    tame.resize(end);
  }
  return tame.empty() ? "device" : tame;
}

std::string time_now() { return fmt::format("{:%Y-%m-%dT%H:%M:%SZ}", fmt::gmtime(std::time(nullptr))); }

bool is_hex(const std::string& text) {
  return text.size() == 2 * crypto_generichash_BYTES && text.find_first_not_of("0123456789abcdef") == std::string::npos;
}

// Two programs do not change the file at the same moment. Where it cannot be locked it is changed all the same.
class Lock {
 public:
  explicit Lock(const std::string& path) : file_(::open(path.c_str(), O_CREAT | O_RDWR | O_CLOEXEC, 0600)) {
    if (file_ >= 0) ::flock(file_, LOCK_EX);
  }
  ~Lock() {
    if (file_ >= 0) ::close(file_);
  }
  Lock(const Lock&) = delete;
  Lock& operator=(const Lock&) = delete;

 private:
  int file_;
};

}  // namespace

Devices::Devices(std::string path, NewCode on_new_code, WrongCodes on_wrong_codes, const Rations& rations)
    : path_(std::move(path)),
      on_new_code_(std::move(on_new_code)),
      on_wrong_codes_(std::move(on_wrong_codes)),
      of_one_(rations.of_one_per_minute / 60.0, rations.of_one_at_once),
      of_all_(rations.of_all_per_minute / 60.0, rations.of_all_at_once) {
  if (sodium_init() < 0) throw std::runtime_error("libsodium has no source of random numbers");
  renew();
}

void Devices::renew() {
  code_.clear();
  for (int i = 0; i < code_length; ++i)
    code_ += code_letters[randombytes_uniform(static_cast<std::uint32_t>(code_letters.size()))];
  link_ = new_link();
}

Devices::Stamp Devices::stamp() const {
  std::error_code none;
  const auto when = std::filesystem::last_write_time(path_, none);
  if (none) return {};
  const auto size = std::filesystem::file_size(path_, none);
  return {when.time_since_epoch().count(), none ? 0 : static_cast<std::int64_t>(size)};
}

std::optional<files::Problem> Devices::load() {
  const std::lock_guard lock(mutex_);
  return read();
}

// The list as the file has it, with those the file could not take; who was seen is known better here.
std::optional<files::Problem> Devices::read() {
  if (path_.empty()) return std::nullopt;
  const Stamp now = stamp();
  std::vector<Kept> kept;
  if (now != Stamp{}) {
    const auto text = files::read_text_file(path_);
    if (!text) return text.problems().front();
    const Json document = Json::parse(text.value(), nullptr, false);
    files::Problem broken;
    broken.place.file = path_;
    broken.what = "the list of paired devices cannot be read";
    broken.remedy = "Remove it and pair them again";
    if (!document.is_object() || !document.contains("devices") || !document["devices"].is_array()) return broken;
    const auto text_in = [](const Json& entry, const char* key) {
      return entry.contains(key) && entry[key].is_string() ? entry[key].get<std::string>() : std::string();
    };
    for (const Json& entry : document["devices"]) {
      if (!entry.is_object() || !is_hex(text_in(entry, "hash"))) return broken;
      const std::string hash = text_in(entry, "hash");
      kept.push_back({{hash.substr(0, id_length), tame_name(text_in(entry, "name")),
                       tame_name(text_in(entry, "paired")), tame_name(text_in(entry, "seen"))},
                      hash,
                      true});
      if (!entry.contains("paired")) kept.back().paired = kept.back().seen = "";
    }
  }
  for (const Kept& device : devices_) {
    const auto again = std::find_if(kept.begin(), kept.end(), [&](const Kept& one) { return one.hash == device.hash; });
    if (again != kept.end()) again->seen = std::max(again->seen, device.seen);
    if (again == kept.end() && !device.in_file) kept.push_back(device);
  }
  devices_ = std::move(kept);
  stamp_ = now;
  return std::nullopt;
}

std::optional<files::Problem> Devices::write() {
  if (path_.empty()) return std::nullopt;
  Json list = Json::array();
  for (const Kept& device : devices_)
    list.push_back(
        Json{{"name", device.name}, {"hash", device.hash}, {"paired", device.paired}, {"seen", device.seen}});
  auto problem = files::write_text_file(path_, files::json_text(Json{{"devices", std::move(list)}}));
  if (problem) return problem;
  std::error_code ignored;
  std::filesystem::permissions(path_, std::filesystem::perms::owner_read | std::filesystem::perms::owner_write,
                               ignored);
  for (Kept& device : devices_) device.in_file = true;
  stamp_ = stamp();
  seen_changed_ = false;
  written_ = Clock::now();
  return std::nullopt;
}

// With mutex_ held. The file is what counts: another program may have changed it since.
std::optional<files::Problem> Devices::change(const std::function<void()>& how) {
  if (path_.empty()) {
    how();
    return std::nullopt;
  }
  std::error_code ignored;
  std::filesystem::create_directories(std::filesystem::path(path_).parent_path(), ignored);
  const Lock file(path_ + ".lock");
  auto problem = read();
  how();
  if (!problem) problem = write();
  return problem;
}

void Devices::refresh(Clock::time_point now) {
  const std::lock_guard lock(mutex_);
  if (path_.empty()) return;
  if (stamp() != stamp_) static_cast<void>(read());
  if (seen_changed_ && now - written_ >= between_writes) static_cast<void>(change([] {}));
}

bool Devices::knows(const std::string& token) {
  if (token.empty() || token.size() > longest_token) return false;
  const std::string hash = hash_of(token);
  const std::lock_guard lock(mutex_);
  Kept* found = nullptr;
  for (Kept& device : devices_) {
    if (same(device.hash, hash)) found = &device;
  }
  if (found == nullptr) return false;
  std::string now = time_now();
  if (now.compare(0, 16, found->seen, 0, 16) != 0) {  // to the minute
    found->seen = std::move(now);
    seen_changed_ = true;
  }
  return true;
}

std::string Devices::id_of(const std::string& token) const { return hash_of(token).substr(0, id_length); }

std::vector<Device> Devices::list() {
  const std::lock_guard lock(mutex_);
  return {devices_.begin(), devices_.end()};
}

bool Devices::shut_out(const std::string& id, std::optional<files::Problem>& not_kept) {
  const std::lock_guard lock(mutex_);
  std::size_t gone = 0;
  not_kept = change([&] { gone = std::erase_if(devices_, [&](const Kept& device) { return device.id == id; }); });
  return gone > 0;
}

std::string Devices::code() {
  const std::lock_guard lock(mutex_);
  return code_;
}

std::string Devices::link() {
  const std::lock_guard lock(mutex_);
  return link_;
}

// With mutex_ held.
Pairing Devices::let_in(const std::string& name, std::string& new_code) {
  Pairing pairing{Pairing::Outcome::paired, new_token(), {}};
  const std::string hash = hash_of(pairing.token), now = time_now();
  pairing.not_kept = change([&] {
    if (devices_.size() >= most_devices) devices_.erase(devices_.begin());
    devices_.push_back({{hash.substr(0, id_length), tame_name(name), now, now}, hash, false});
  });
  renew();
  new_code = code_;
  return pairing;
}

// With mutex_ held. What a stranger does must not fill the terminal.
void Devices::tell_of_wrong_code(const std::string& peer, Clock::time_point now) {
  ++wrong_codes_;
  if (wrong_codes_ < wrong_codes_worth_a_word || (told_ && now - *told_ < between_words)) return;
  if (on_wrong_codes_) on_wrong_codes_(wrong_codes_, peer);
  wrong_codes_ = 0;
  told_ = now;
}

Pairing Devices::pair(const std::string& code, const std::string& name, const std::string& peer,
                      Clock::time_point now) {
  Pairing pairing;
  std::string new_code;
  {
    const std::lock_guard lock(mutex_);
    // The device's own ration first: what it may not try counts for nobody else. The ration of all is that of this code: another code comes only
    // when somebody had it right.
    if (!of_one_.allow(peer, now) || !of_all_.allow(code_, now)) {
      pairing.outcome = Pairing::Outcome::wait;
    } else if (same(typed_code(code), code_)) {
      pairing = let_in(name, new_code);
    } else {
      tell_of_wrong_code(peer, now);
    }
  }
  if (!new_code.empty() && on_new_code_) on_new_code_(new_code);
  return pairing;
}

Pairing Devices::pair_by_link(const std::string& link, const std::string& name) {
  Pairing pairing;
  std::string new_code;
  {
    const std::lock_guard lock(mutex_);
    if (same(link, link_)) pairing = let_in(name, new_code);
  }
  if (!new_code.empty() && on_new_code_) on_new_code_(new_code);
  return pairing;
}

}  // namespace oddgrist::server
