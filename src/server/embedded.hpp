// The page and the API's own description as they were when the library was built (cmake/embed.cmake writes the definition).
#pragma once

#include <span>
#include <string_view>

namespace oddgrist::server {

struct EmbeddedFile {
  std::string_view path;  // from the source folder: "build/web/page.js", "docs/openapi.json"
  std::string_view text;
};

std::span<const EmbeddedFile> embedded_files();

}  // namespace oddgrist::server
