// The store: an append-only log in one SQLite file, and lists that are made from it. docs/store.md says what it guarantees.
//
// One Store is one connection: use it from one thread at a time. Several Stores on one file, in one process or in many, are fine; readers
// never wait for a writer. No member throws for anything a file, a disk or another program can do.
#pragma once

#include <chrono>
#include <cstdint>
#include <functional>
#include <memory>
#include <optional>
#include <span>
#include <string>
#include <string_view>
#include <vector>

#include "files/problem.hpp"
#include "store/log.hpp"
#include "store/stock.hpp"

namespace oddgrist::store {

using files::Result;

// read: the file stays as it is, even on a read-only disk. write: it must be there. create: made if it is not, folders too.
enum class Mode { read, write, create };

struct Appended {
  std::vector<std::int64_t> ids;      // one for each entry given, in their order; also for one that was there before
  std::size_t written = 0;            // how many were new
  std::vector<Shortfall> shortfalls;  // ingredients of which a gyle now took more than the stock log had
};

struct GyleLine {
  std::string id;
  std::string name;
  std::string brief;  // what its brief calls itself
  std::string kit;
  gyle::Stage stage = gyle::Stage::planned;  // of the last Reached that holds
  Instant started_at{};
  Instant changed_at{};  // by the clock of the entry written last
  std::int64_t entries = 0;
  std::int64_t last_entry = 0;  // id in the log
  friend bool operator==(const GyleLine&, const GyleLine&) = default;
};

struct GyleFilter {
  std::string
      text;  // each of its words occurs in the name, the brief's name, the kit or the id; letter case does not count
  std::optional<gyle::Stage> stage;
  std::int64_t skip = 0;
  std::int64_t most = 50;
};
struct GylePage {
  std::vector<GyleLine> lines;  // the one changed last comes first
  std::int64_t all = 0;         // how many fit the filter
};

struct KitLine {
  process::Kit kit;
  Instant stated_at{};
};

struct BriefLine {
  std::string id;
  std::string name;
  Instant changed_at{};
};
// A brief with what was composed from it, mended and struck entries left out.
struct BriefShelf {
  std::string id;
  KeptBrief brief;
  std::vector<KeptProposal> proposals;
};

struct Found {
  Logged entry;
  std::string excerpt;  // the words found, with some on both sides
  bool holds = true;    // false: a later entry mends it
};

// Called now and then with how much is done of how much; false stops the work, and nothing of it stays.
using Progress = std::function<bool(std::int64_t done, std::int64_t of)>;

struct CheckReport {
  std::int64_t entries = 0;
  std::int64_t gyles = 0;
  std::int64_t bytes = 0;           // of the file and its write-ahead log
  std::vector<std::string> damage;  // of the file or of entries: restore a backup
  std::vector<std::string> stale;   // lists that do not say what the log says: rebuild_lists() mends that
  [[nodiscard]] bool sound() const { return damage.empty() && stale.empty(); }
};

struct Restored {
  std::int64_t entries = 0;
  std::string kept;  // where the file that was there before now is; empty: there was none
};

// $ODDGRIST_STORE, or ${XDG_DATA_HOME:-~/.local/share}/oddgrist/store.db.
std::string default_store_path();

// What was found damaged in the store at this path, which is then only read: until a check finds it sound, or a backup is restored.
std::optional<std::string> noted_damage(const std::string& path);

class Room;

class Store {
 public:
  // `patience`: how long to wait for another program that holds the file.
  static Result<Store> open(const std::string& path, Mode mode,
                            std::chrono::milliseconds patience = std::chrono::seconds(5));
  Store(Store&&) noexcept;
  Store& operator=(Store&&) noexcept;
  ~Store();

  // ---- writing. Refused while damage is noted. All of the entries or none; when it returns a value they are on the disk. An entry whose key is already there is
  // acknowledged again if it says the same, and refused if it says something else.
  Result<Appended> append(std::span<const Line> lines);
  // A gyle begins with Started, which takes its ingredients out of stock in the same transaction; Added takes more, Missed puts back, and
  // mending one of these mends the stock.
  Result<Appended> append_to_gyle(std::string_view gyle_id, std::span<const gyle::Entry> entries);
  Result<Appended> append_to_larder(std::span<const StockEntry> entries);
  Result<Appended> state_kit(const process::Kit& kit, std::string_view key, Instant at);
  Result<Appended> keep_brief(std::string_view brief_id, const BriefWhat& what, std::string_view key, Instant at);

  // ---- reading. Each entry is held against its checksum; one that is not what was written is a problem that names it.
  // Everything of one stream, in the order written, those after the id `after`. Empty if there is no such stream.
  [[nodiscard]] Result<std::vector<Logged>> entries(std::string_view stream, std::int64_t after = 0) const;
  // The log of a gyle, mended and struck entries included: the gyle's own reading of it is src/gyle's. A problem if there is no such gyle.
  [[nodiscard]] Result<std::vector<gyle::Entry>> gyle(std::string_view gyle_id) const;
  [[nodiscard]] Result<GylePage> gyles(const GyleFilter& filter) const;
  [[nodiscard]] Result<std::vector<StockLine>> stock() const;
  [[nodiscard]] Result<std::vector<KitLine>> kits() const;
  [[nodiscard]] Result<std::vector<BriefLine>> briefs() const;
  [[nodiscard]] Result<BriefShelf> brief(std::string_view brief_id) const;
  // The ids of all rounds, the one written on last first.
  [[nodiscard]] Result<std::vector<std::string>> rounds() const;
  // Entries in which every word occurs (as the beginning of a word), best first.
  [[nodiscard]] Result<std::vector<Found>> search(std::string_view words, std::int64_t most = 50) const;
  // Entries of every stream written after the id, at most so many: ask again from the last id until none comes.
  [[nodiscard]] Result<std::vector<Logged>> changes_since(std::int64_t id, std::int64_t most = 1000) const;
  [[nodiscard]] Result<std::int64_t> last_id() const;

  // ---- keeping
  // Reads every entry and every list, and notes damage or that there is none any more. Damage is an answer, not a problem. As for all that takes a Progress: being told to stop is a problem,
  // with the field "stopped".
  [[nodiscard]] Result<CheckReport> check(const Progress& progress = {}) const;
  Result<std::int64_t> rebuild_lists();
  // While others go on reading and writing. A damaged store has no backup. `path` must not exist. Returns the number of entries in the backup.
  [[nodiscard]] Result<std::int64_t> backup_to(const std::string& path, const Progress& progress = {}) const;
  // `backup` is checked whole first. What stood at `path` stays beside it under another name. Refused while `path` is in use.
  static Result<Restored> restore(const std::string& backup, const std::string& path, const Progress& progress = {});
  // Lines of JSON, docs/store.md; none of a damaged entry. The sink returns false to stop. Returns the number of entries.
  using Sink = std::function<bool(std::string_view text)>;
  [[nodiscard]] Result<std::int64_t> export_to(const Sink& sink) const;
  // The same into a file, whole or not at all. `path` must not exist.
  [[nodiscard]] Result<std::int64_t> export_to_file(const std::string& path, const Progress& progress = {}) const;
  // Makes a store, which must not be there yet, from an exported file. The log is the same, ids and all.
  static Result<std::int64_t> import(const std::string& exported, const std::string& path,
                                     const Progress& progress = {});

  [[nodiscard]] const std::string& path() const;

 private:
  explicit Store(std::unique_ptr<Room> room);
  std::unique_ptr<Room> room_;
};

}  // namespace oddgrist::store
