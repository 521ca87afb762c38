// The [kit] and [want] tables of a brief.
#pragma once

#include "compose/brief.hpp"
#include "files/toml_reader.hpp"

namespace oddgrist::files {

// The kit of a brewer who says nothing of it, for what is wanted: after read_want(), before read_kit().
void put_usual_kit(compose::Brief& brief);
void read_kit(TableReader& kit, compose::Brief& brief);
void read_want(TableReader& want, compose::Brief& brief);

}  // namespace oddgrist::files
