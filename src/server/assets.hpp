// The page's files, packed beforehand, each with a tag that changes when its bytes do.
#pragma once

#include <string>
#include <string_view>
#include <vector>

namespace oddgrist::server {

struct Asset {
  std::string path;  // "/page.js"; "/" is the page itself
  std::string_view content_type;
  std::string_view plain, packed;  // packed: gzip; empty if it would not be smaller
  std::string tag;                 // "\"9f86d081884c7d65\""
};

// Empty if the program was built without its page.
[[nodiscard]] const std::vector<Asset>& assets();
[[nodiscard]] const Asset* find_asset(std::string_view path);

}  // namespace oddgrist::server
