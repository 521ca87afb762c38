// The data files as they were when the library was built (cmake/embed.cmake writes the definition).
#pragma once

#include <span>
#include <string_view>

namespace oddgrist::larder {

struct EmbeddedFile {
  std::string_view path;  // from the source folder: "data/catalogue/malts.toml"
  std::string_view text;
};

std::span<const EmbeddedFile> embedded_files();

}  // namespace oddgrist::larder
