// What is behind a Store. Internal to src/store.
#pragma once

#include <memory>
#include <optional>
#include <string>
#include <utility>

#include "store/connection.hpp"
#include "store/damage_mark.hpp"
#include "store/lists.hpp"
#include "store/store.hpp"
#include "store/use_lock.hpp"

namespace oddgrist::store {

class Room {
 public:
  Room(std::string file, std::optional<UseLock> use, std::unique_ptr<Connection> opened,
       std::chrono::milliseconds how_long)
      : path(std::move(file)),
        lock(std::move(use)),
        connection(std::move(opened)),
        lists(*connection, "main"),
        patience(how_long) {}

  std::string path;
  std::optional<UseLock> lock;
  std::unique_ptr<Connection> connection;
  Lists lists;
  std::chrono::milliseconds patience;
};

// As `guarded`; damage is noted beside the store, which is then only read until it is mended.
template <class T, class Work>
files::Result<T> in_room(const Room& room, Doing doing, Work&& work) {
  auto result = guarded<T>(room.path, doing, std::forward<Work>(work));
  if (!result && files::trouble_of(result.problems()) == files::Trouble::damaged)
    mark_damaged(room.path, result.problems().front().what);
  return result;
}

// The path with links followed, so that the file itself, its companions and its lock are always side by side.
std::string real_path(const std::string& path);
// Opens what is there and checks that it is a store of this version; throws Refused. `create` makes it one.
std::unique_ptr<Connection> open_connection(const std::string& path, Mode mode, std::chrono::milliseconds patience);
files::Problem file_problem(const std::string& path, std::string what, std::string remedy, files::Trouble trouble);
// Writes one line into log and lists, without any of the rules of append().
std::int64_t write_through(Connection& connection, Lists& lists, const Understood& understood);

}  // namespace oddgrist::store
