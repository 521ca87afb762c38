#include "server/devices.hpp"

#include <sodium.h>

#include <array>
#include <filesystem>
#include <stdexcept>
#include <string_view>

#include "files/answer_json.hpp"
#include "files/text_file.hpp"

namespace oddgrist::server {
namespace {

using files::Json;

// No letter or digit that is taken for another: 30^6, some 7e8 codes, of which five may be tried.
constexpr std::string_view code_letters = "23456789ABCDEFGHJKMNPQRSTVWXYZ";
constexpr int code_length = 6;
constexpr std::size_t most_devices = 200;
constexpr std::size_t longest_name = 60;

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

}  // namespace

Devices::Devices(std::string path, NewCode on_new_code) : path_(std::move(path)), on_new_code_(std::move(on_new_code)) {
  if (sodium_init() < 0) throw std::runtime_error("libsodium has no source of random numbers");
  renew_code();
}

void Devices::renew_code() {
  code_.clear();
  for (int i = 0; i < code_length; ++i)
    code_ += code_letters[randombytes_uniform(static_cast<std::uint32_t>(code_letters.size()))];
  wrong_tries_ = 0;
}

std::optional<files::Problem> Devices::load() {
  const std::lock_guard lock(mutex_);
  if (path_.empty() || !std::filesystem::exists(path_)) return std::nullopt;
  const auto text = files::read_text_file(path_);
  if (!text) return text.problems().front();
  const Json document = Json::parse(text.value(), nullptr, false);
  files::Problem broken;
  broken.place.file = path_;
  broken.what = "the list of paired devices cannot be read";
  broken.remedy = "Remove it and pair them again";
  if (!document.is_object() || !document.contains("devices") || !document["devices"].is_array()) return broken;
  for (const Json& entry : document["devices"]) {
    if (!entry.is_object() || !entry.contains("hash") || !entry["hash"].is_string()) return broken;
    devices_.push_back({entry.value("name", std::string("device")), entry["hash"].get<std::string>()});
  }
  return std::nullopt;
}

std::optional<files::Problem> Devices::save() const {
  if (path_.empty()) return std::nullopt;
  Json list = Json::array();
  for (const Device& device : devices_) list.push_back(Json{{"name", device.name}, {"hash", device.hash}});
  std::error_code ignored;
  std::filesystem::create_directories(std::filesystem::path(path_).parent_path(), ignored);
  auto problem = files::write_text_file(path_, files::json_text(Json{{"devices", std::move(list)}}));
  if (!problem)
    std::filesystem::permissions(path_, std::filesystem::perms::owner_read | std::filesystem::perms::owner_write,
                                 ignored);
  return problem;
}

bool Devices::knows(const std::string& token) {
  if (token.empty() || token.size() > 128) return false;
  const std::string hash = hash_of(token);
  const std::lock_guard lock(mutex_);
  bool found = false;
  for (const Device& device : devices_) found = same(device.hash, hash) || found;
  return found;
}

std::string Devices::code() {
  const std::lock_guard lock(mutex_);
  return code_;
}

Devices::Pairing Devices::pair(const std::string& code, const std::string& name) {
  Pairing pairing;
  std::string changed_to;
  {
    const std::lock_guard lock(mutex_);
    if (same(typed_code(code), code_)) {
      pairing.token = new_token();
      if (devices_.size() >= most_devices) devices_.erase(devices_.begin());
      devices_.push_back({name.substr(0, longest_name), hash_of(pairing.token)});
      pairing.not_kept = save();
      renew_code();
      changed_to = code_;
    } else if (++wrong_tries_ >= most_tries) {
      renew_code();
      changed_to = code_;
    }
  }
  if (!changed_to.empty() && on_new_code_) on_new_code_(changed_to);
  return pairing;
}

}  // namespace oddgrist::server
