// Bodies of the store's own kinds of entry as JSON and back: docs/schema/entry.schema.json.
#pragma once

#include "files/json_reader.hpp"
#include "store/log.hpp"

namespace oddgrist::store {

files::Json body_json(const StockWhat& what);
files::Json body_json(const KitWhat& what);
files::Json body_json(const BriefWhat& what);
std::string_view kind_of(const StockWhat& what);
std::string_view kind_of(const KitWhat& what);
std::string_view kind_of(const BriefWhat& what);

// Problems go to the reader's list. Nothing: there is no such kind, which has been reported too.
std::optional<StockWhat> read_stock(std::string_view kind, files::JsonReader& reader);
std::optional<KitWhat> read_kit(std::string_view kind, files::JsonReader& reader);
std::optional<BriefWhat> read_brief(std::string_view kind, files::JsonReader& reader);

}  // namespace oddgrist::store
