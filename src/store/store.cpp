#include "store/store.hpp"

#include <cstdlib>
#include <filesystem>

#include <fmt/format.h>

#include "files/event_json.hpp"
#include "larder/catalogue.hpp"
#include "store/appending.hpp"
#include "store/log_table.hpp"
#include "store/part_file.hpp"
#include "store/room.hpp"
#include "store/schema.hpp"

namespace oddgrist::store {
namespace {

namespace fs = std::filesystem;
using files::Problem;
using files::Trouble;

void require_nature(const std::string& path, Nature nature, Mode mode) {
  switch (nature) {
    case Nature::store: return;
    case Nature::older_store:
      if (mode != Mode::read) return;
      throw Refused(
          file_problem(path, "the store was written by an older oddgrist",
                       "Write something to it once, or run oddgrist store check --mend, to bring it up to date",
                       Trouble::cannot_open));
    case Nature::newer_store:
      throw Refused(file_problem(path, "the store was written by a newer oddgrist and is left alone",
                                 "Use that oddgrist, or a newer one. Nothing is lost", Trouble::cannot_open));
    case Nature::blank:
      if (mode == Mode::create) return;
      throw Refused(file_problem(path, "the file is empty, no store",
                                 "Check the name; if it should hold something, restore the last backup: "
                                 "oddgrist store restore BACKUP",
                                 Trouble::damaged));
    case Nature::foreign:
      throw Refused(
          file_problem(path, "this is another program's file, no store", "Name another file", Trouble::cannot_open));
  }
}

void make_ready(Connection& connection, Nature nature) {
  // Full: an append returns after the write-ahead log has been synced to the disk.
  connection.run(
      "PRAGMA journal_mode = WAL; PRAGMA synchronous = FULL; PRAGMA foreign_keys = ON; PRAGMA recursive_triggers = ON; "
      "PRAGMA cell_size_check = ON; PRAGMA journal_size_limit = 33554432");
  if (nature != Nature::store) bring_up_to_date(connection);
}

template <class Row, class Make>
std::vector<Row> all_rows(Query& query, Make&& make) {
  std::vector<Row> rows;
  while (query.next()) rows.push_back(make(query));
  return rows;
}

std::vector<std::string> words_in(std::string_view text) {
  std::vector<std::string> words;
  std::string word;
  for (const char letter : std::string(text) + ' ') {
    if (letter != ' ' && letter != '\t' && letter != '\n' && letter != '\r') {
      word += letter;
    } else if (!word.empty()) {
      words.push_back(std::move(word));
      word.clear();
    }
  }
  constexpr std::size_t most_words = 16;
  if (words.size() > most_words) words.resize(most_words);
  return words;
}

// In the words of SQLite's full-text search: each as the beginning of a word, nothing in them as an operator.
std::string match_text(std::string_view text) {
  std::string match;
  for (const std::string& word : words_in(text)) {
    match += '"';
    for (const char letter : word) {
      if (letter == '\0') continue;
      match += letter;
      if (letter == '"') match += letter;
    }
    match += "\"* ";
  }
  return match;
}

// A gyle that is in the list has a log: one that cannot be found is lost, not missing.
void refuse_if_listed(Connection& connection, std::string_view stream) {
  if (!stream.starts_with("gyle/")) return;
  Query query = connection.query("SELECT 1 FROM main.gyle WHERE id = ?");
  if (query.with(stream.substr(5)).next())
    throw Refused(damage_problem("", fmt::format("the log of {} is gone", stream)));
}

Instant instant_at(std::int64_t milliseconds) { return Instant(std::chrono::milliseconds(milliseconds)); }

std::int64_t at_most(std::int64_t most) { return most < 0 ? 0 : most; }

}  // namespace

std::string real_path(const std::string& path) {
  std::error_code error;
  const fs::path real = fs::weakly_canonical(path, error);
  return error || real.empty() ? path : real.string();
}

Problem file_problem(const std::string& path, std::string what, std::string remedy, Trouble trouble) {
  return Problem{files::Place{path, 0, 0}, "", std::move(what), std::move(remedy), trouble};
}

std::int64_t write_through(Connection& connection, Lists& lists, const Understood& understood) {
  const std::int64_t id = write_line(connection, understood.line);
  lists.add(id, understood.line, understood.meaning);
  return id;
}

std::unique_ptr<Connection> open_connection(const std::string& path, Mode mode, std::chrono::milliseconds patience) {
  const Access access = mode == Mode::read ? Access::read : mode == Mode::write ? Access::write : Access::create;
  auto connection = std::make_unique<Connection>(path, access, patience);
  const Nature nature = nature_of(*connection);
  require_nature(path, nature, mode);
  if (mode != Mode::read) make_ready(*connection, nature);
  return connection;
}

std::string default_store_path() {
  const auto variable = [](const char* name) -> std::string {
    const char* value = std::getenv(name);
    return value == nullptr ? "" : value;
  };
  if (std::string named = variable("ODDGRIST_STORE"); !named.empty()) return named;
  if (const std::string data = variable("XDG_DATA_HOME"); data.starts_with('/')) return data + "/oddgrist/store.db";
  if (const std::string home = variable("HOME"); !home.empty()) return home + "/.local/share/oddgrist/store.db";
  return "oddgrist-store.db";
}

// ---- opening

Store::Store(std::unique_ptr<Room> room) : room_(std::move(room)) {}
Store::Store(Store&&) noexcept = default;
Store& Store::operator=(Store&&) noexcept = default;
Store::~Store() = default;

const std::string& Store::path() const { return room_->path; }

Result<Store> Store::open(const std::string& path, Mode mode, std::chrono::milliseconds patience) {
  const std::string real = real_path(path);
  return guarded<Store>(real, mode == Mode::read ? Doing::reading : Doing::writing, [&] {
    if (mode == Mode::create) make_folder_of(real);
    const fs::file_status status = fs::status(real);
    if (fs::exists(status) && !fs::is_regular_file(status))
      throw Refused(file_problem(real, "this is a folder or a device, no store", "Name a file", Trouble::cannot_open));
    if (!fs::exists(status) && mode != Mode::create) {
      throw Refused(file_problem(real, "there is no store here",
                                 "Check the name, or ODDGRIST_STORE; the first entry you write makes one",
                                 Trouble::missing));
    }
    std::optional<Problem> problem;
    auto lock = UseLock::take(real, UseLock::Share::shared, patience, problem);
    if (problem) throw Refused(*problem);
    auto connection = open_connection(real, mode, patience);
    return Store(std::make_unique<Room>(real, std::move(lock), std::move(connection), patience));
  });
}

// ---- writing

Result<Appended> Store::append(std::span<const Line> lines) {
  return in_room<Appended>(*room_, Doing::writing, [&] {
    std::vector<Understood> all;
    files::Problems problems;
    for (std::size_t i = 0; i < lines.size(); ++i) {
      auto understood = understand(lines[i], files::Place{room_->path, 0, 0});
      if (understood) {
        all.push_back(std::move(understood.value()));
        continue;
      }
      for (Problem problem : understood.problems()) {
        problem.field = fmt::format("entries[{}].{}", i, problem.field);
        problems.push_back(std::move(problem));
      }
    }
    if (!problems.empty()) throw Refused(std::move(problems));
    refuse_if_damaged(room_->path);
    Writing writing(*room_->connection);
    Appending appending(*room_);
    for (std::size_t i = 0; i < all.size(); ++i) appending.add(all[i], fmt::format("entries[{}]", i));
    Appended appended = appending.finish();
    writing.commit();
    return appended;
  });
}

Result<Appended> Store::append_to_gyle(std::string_view gyle_id, std::span<const gyle::Entry> entries) {
  std::vector<Line> lines;
  for (const gyle::Entry& entry : entries) lines.push_back(line_of(gyle_id, entry));
  return append(lines);
}

Result<Appended> Store::append_to_larder(std::span<const StockEntry> entries) {
  std::vector<Line> lines;
  for (const StockEntry& entry : entries) lines.push_back(line_of(entry));
  return append(lines);
}

Result<Appended> Store::state_kit(const process::Kit& kit, std::string_view key, Instant at) {
  return append(std::vector<Line>{line_of(kit, key, at)});
}

Result<Appended> Store::keep_brief(std::string_view brief_id, const BriefWhat& what, std::string_view key, Instant at) {
  return append(std::vector<Line>{line_of(brief_id, what, key, at)});
}

// ---- reading

Result<std::vector<Logged>> Store::entries(std::string_view stream, std::int64_t after) const {
  return in_room<std::vector<Logged>>(*room_, Doing::reading, [&] {
    Query query = room_->connection->query(select_logged + "WHERE s.name = ? AND e.id > ? ORDER BY e.id");
    std::vector<Logged> found = all_rows<Logged>(query.with(stream).with(after), logged);
    if (found.empty() && after == 0) refuse_if_listed(*room_->connection, stream);
    return found;
  });
}

Result<std::vector<gyle::Entry>> Store::gyle(std::string_view gyle_id) const {
  return in_room<std::vector<gyle::Entry>>(*room_, Doing::reading, [&] {
    std::vector<gyle::Entry> entries;
    for (Read& read : read_stream(*room_->connection, fmt::format("gyle/{}", gyle_id), INT64_MAX)) {
      const Line& line = read.entry.line;
      entries.push_back(gyle::Entry{line.key, line.at, line.mends, std::move(std::get<gyle::What>(read.meaning))});
    }
    if (entries.empty()) {
      refuse_if_listed(*room_->connection, fmt::format("gyle/{}", gyle_id));
      throw Refused(file_problem(room_->path, fmt::format("there is no gyle \"{}\"", gyle_id),
                                 "Look at the list of gyles for its id", Trouble::missing));
    }
    return entries;
  });
}

Result<GylePage> Store::gyles(const GyleFilter& filter) const {
  return in_room<GylePage>(*room_, Doing::reading, [&] {
    const std::vector<std::string> words = words_in(larder::folded_name(filter.text));
    std::string where = " FROM main.gyle WHERE 1";
    for (std::size_t i = 0; i < words.size(); ++i) where += " AND instr(folded, ?) > 0";
    if (filter.stage) where += " AND stage = ?";
    const auto fill = [&](Query& query) {
      for (const std::string& word : words) query.with(word);
      if (filter.stage) query.with(files::stage_word(*filter.stage));
    };
    GylePage page;
    const Reading reading(*room_->connection);
    {
      Query count = room_->connection->query("SELECT count(*)" + where);
      fill(count);
      count.next();
      page.all = count.integer(0);
    }
    Query query = room_->connection->query(std::string("SELECT ") + gyle_columns + where +
                                           " ORDER BY last_entry DESC LIMIT ? OFFSET ?");
    fill(query);
    query.with(at_most(filter.most)).with(at_most(filter.skip));
    page.lines = all_rows<GyleLine>(query, gyle_line_of);
    return page;
  });
}

Result<std::vector<StockLine>> Store::stock() const {
  return in_room<std::vector<StockLine>>(*room_, Doing::reading, [&] {
    Query query = room_->connection->query(fmt::format("SELECT {} FROM main.stock ORDER BY ingredient", stock_columns));
    return all_rows<StockLine>(query, stock_line_of);
  });
}

Result<std::vector<KitLine>> Store::kits() const {
  return in_room<std::vector<KitLine>>(*room_, Doing::reading, [&] {
    Query query = room_->connection->query(select_logged + "JOIN main.kit k ON k.entry = e.id ORDER BY k.name");
    return all_rows<KitLine>(query, [](const Query& row) {
      const Logged entry = logged(row);
      return KitLine{std::get<process::Kit>(std::get<KitWhat>(meaning_of(entry))), entry.line.at};
    });
  });
}

Result<std::vector<BriefLine>> Store::briefs() const {
  return in_room<std::vector<BriefLine>>(*room_, Doing::reading, [&] {
    Query query = room_->connection->query("SELECT id, name, changed_at FROM main.brief ORDER BY changed_at DESC, id");
    return all_rows<BriefLine>(query, [](const Query& row) {
      return BriefLine{row.text(0), row.text(1), instant_at(row.integer(2))};
    });
  });
}

Result<BriefShelf> Store::brief(std::string_view brief_id) const {
  return in_room<BriefShelf>(*room_, Doing::reading, [&] {
    BriefShelf shelf;
    shelf.id = brief_id;
    bool any = false;
    for (Read& read : in_force(read_stream(*room_->connection, fmt::format("brief/{}", brief_id), INT64_MAX))) {
      auto& what = std::get<BriefWhat>(read.meaning);
      if (auto* brief = std::get_if<KeptBrief>(&what)) {
        shelf.brief = std::move(*brief);
        any = true;
      } else if (auto* proposal = std::get_if<KeptProposal>(&what)) {
        shelf.proposals.push_back(std::move(*proposal));
      }
    }
    if (!any) {
      throw Refused(file_problem(room_->path, fmt::format("there is no brief \"{}\"", brief_id),
                                 "Look at the list of briefs for its id", Trouble::missing));
    }
    return shelf;
  });
}

Result<std::vector<std::string>> Store::rounds() const {
  return in_room<std::vector<std::string>>(*room_, Doing::reading, [&] {
    Query query = room_->connection->query(
        "SELECT substr(s.name, 7) FROM main.stream s JOIN main.entry e ON e.stream = s.id WHERE s.name LIKE 'round/%' "
        "GROUP BY s.id ORDER BY max(e.id) DESC");
    return all_rows<std::string>(query, [](const Query& row) { return row.text(0); });
  });
}

Result<std::vector<Found>> Store::search(std::string_view words, std::int64_t most) const {
  return in_room<std::vector<Found>>(*room_, Doing::reading, [&] {
    const std::string match = match_text(words);
    if (match.empty()) return std::vector<Found>{};
    const Reading reading(*room_->connection);
    Query query =
        room_->connection->query("SELECT " + logged_columns +
                                 ", snippet(words, 0, '', '', '…', 12) "
                                 "FROM main.words JOIN entry e ON e.id = words.rowid JOIN stream s ON s.id = e.stream "
                                 "WHERE words MATCH ? ORDER BY rank LIMIT ?");
    query.with(match).with(at_most(most));
    return all_rows<Found>(query, [&](const Query& row) {
      Logged entry = logged(row);
      const bool holds = key_holds(*room_->connection, entry.line.key);
      return Found{std::move(entry), row.text(9), holds};
    });
  });
}

Result<std::vector<Logged>> Store::changes_since(std::int64_t id, std::int64_t most) const {
  return in_room<std::vector<Logged>>(*room_, Doing::reading, [&] {
    Query query = room_->connection->query(select_logged + "WHERE e.id > ? ORDER BY e.id LIMIT ?");
    return all_rows<Logged>(query.with(id).with(at_most(most)), logged);
  });
}

Result<std::int64_t> Store::last_id() const {
  return in_room<std::int64_t>(*room_, Doing::reading, [&] { return last_id_of(*room_->connection); });
}

Result<std::int64_t> Store::rebuild_lists() {
  return in_room<std::int64_t>(*room_, Doing::writing, [&] {
    refuse_if_damaged(room_->path);
    Writing writing(*room_->connection);
    room_->lists.rebuild();
    writing.commit();
    return last_id_of(*room_->connection);
  });
}

}  // namespace oddgrist::store
