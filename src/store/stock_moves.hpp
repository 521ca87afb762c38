// What the entries of a gyle mean for the stock. Internal to src/store.
#pragma once

#include <string>
#include <string_view>
#include <vector>

#include "store/connection.hpp"
#include "store/log.hpp"

namespace oddgrist::store {

// Keys of entries the store writes by itself begin so; nobody else's may.
inline constexpr std::string_view own_key = "stock/";

// True if an entry with this meaning may move stock; mending any other may as well.
bool moves_stock(const gyle::What& what);

// What has to be written into the larder so that it agrees with the gyle as it now stands: Used entries, and Struck ones for what no
// longer holds. A Used entry the brewer has mended by hand stays as the brewer put it.
std::vector<StockEntry> stock_moves(Connection& connection, const std::string& gyle_id, Instant at);

}  // namespace oddgrist::store
