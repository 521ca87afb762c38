#include "server/assets.hpp"

#include <sodium.h>

#include <array>
#include <utility>

#include "server/embedded.hpp"

namespace oddgrist::server {
namespace {

constexpr std::string_view folder = "build/web/";
constexpr std::string_view packed_ending = ".gz";

constexpr std::pair<std::string_view, std::string_view> types[] = {
    {".html", "text/html; charset=utf-8"},         {".js", "text/javascript; charset=utf-8"},
    {".css", "text/css; charset=utf-8"},           {".svg", "image/svg+xml"},
    {".webmanifest", "application/manifest+json"}, {".png", "image/png"},
    {".txt", "text/plain; charset=utf-8"},
};

std::string_view type_of(std::string_view path) {
  for (const auto& [ending, type] : types) {
    if (path.ends_with(ending)) return type;
  }
  return "application/octet-stream";
}

std::string tag_of(std::string_view bytes) {
  std::array<unsigned char, 16> digest{};
  crypto_generichash(digest.data(), digest.size(), reinterpret_cast<const unsigned char*>(bytes.data()), bytes.size(),
                     nullptr, 0);
  std::array<char, 2 * digest.size() + 1> hex{};
  sodium_bin2hex(hex.data(), hex.size(), digest.data(), digest.size());
  return '"' + std::string(hex.data()) + '"';
}

std::string_view text_of(const std::string& path) {
  for (const EmbeddedFile& file : embedded_files()) {
    if (file.path == path) return file.text;
  }
  return {};
}

std::vector<Asset> collect() {
  std::vector<Asset> found;
  for (const EmbeddedFile& file : embedded_files()) {
    if (!file.path.starts_with(folder) || file.path.ends_with(packed_ending)) continue;
    std::string path = '/' + std::string(file.path.substr(folder.size()));
    if (path == "/index.html") path = "/";
    found.push_back({std::move(path), type_of(file.path), file.text,
                     text_of(std::string(file.path) + std::string(packed_ending)), tag_of(file.text)});
  }
  return found;
}

}  // namespace

const std::vector<Asset>& assets() {
  static const std::vector<Asset> all = collect();
  return all;
}

const Asset* find_asset(std::string_view path) {
  for (const Asset& asset : assets()) {
    if (asset.path == path) return &asset;
  }
  return nullptr;
}

}  // namespace oddgrist::server
