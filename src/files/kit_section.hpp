// The [kit] and [want] tables of a brief.
#pragma once

#include "compose/brief.hpp"
#include "files/toml_reader.hpp"

namespace oddgrist::files {

void read_kit(TableReader& kit, compose::Brief& brief);
void read_want(TableReader& want, compose::Brief& brief);

}  // namespace oddgrist::files
