// The whole log as text, and back. docs/store.md describes the lines.
#include <cerrno>
#include <cstdio>
#include <filesystem>
#include <fstream>

#include <boost/crc.hpp>
#include <fmt/format.h>

#include "files/event_json.hpp"
#include "files/json_reader.hpp"
#include "store/check.hpp"
#include "store/log_table.hpp"
#include "store/part_file.hpp"
#include "store/room.hpp"
#include "store/schema.hpp"

namespace oddgrist::store {
namespace {

namespace fs = std::filesystem;
using files::Json;
using files::Problem;
using files::Trouble;

constexpr int export_version = 1;
constexpr std::size_t longest_line = std::size_t{2} << 20;
constexpr std::int64_t lines_a_step = 1000;

// Over every line between the first and the last, line ends included.
class Sum {
 public:
  void take(std::string_view text) { crc_.process_bytes(text.data(), text.size()); }
  [[nodiscard]] std::string text() const { return fmt::format("{:08x}", crc_.checksum()); }

 private:
  boost::crc_32_type crc_;
};

std::string json_string(std::string_view text) {
  return Json(std::string(text)).dump(-1, ' ', false, Json::error_handler_t::replace);
}

std::string line_text(const Logged& entry) {
  const Line& line = entry.line;
  std::string text = fmt::format("{{\"id\":{},\"stream\":{},\"key\":{},\"kind\":{},\"version\":{},\"at\":\"{}\"",
                                 entry.id, json_string(line.stream), json_string(line.key), json_string(line.kind),
                                 line.version, files::instant_text(line.at));
  if (!line.mends.empty()) text += fmt::format(",\"mends\":{}", json_string(line.mends));
  return text + fmt::format(",\"body\":{}}}\n", line.body);
}

std::int64_t export_lines(Connection& connection, const std::string& path, const Store::Sink& sink,
                          const Progress& progress) {
  const Reading reading(connection);
  const std::int64_t all = last_id_of(connection);
  const auto send = [&](const std::string& text) {
    if (!sink(text)) refuse_as_stopped(path);
  };
  send(fmt::format("{{\"oddgrist_export\":{}}}\n", export_version));
  Sum sum;
  std::int64_t count = 0;
  Query query = connection.query(select_logged + "ORDER BY e.id");
  while (query.next()) {
    const std::string text = line_text(logged(query));
    sum.take(text);
    send(text);
    if (++count % lines_a_step == 0 && progress && !progress(count, all)) refuse_as_stopped(path);
  }
  send(fmt::format("{{\"end\":{},\"crc32\":\"{}\"}}\n", count, sum.text()));
  return count;
}

// Reads an exported file line by line into an empty store.
class Importing {
 public:
  Importing(std::string file, Connection& connection)
      : file_(std::move(file)), in_(file_, std::ios::binary), connection_(connection), lists_(connection, "main") {
    std::error_code none;
    if (!fs::is_regular_file(file_, none) || !in_)
      throw Refused(file_problem(file_, "cannot open it as a file", "Check the name and that you may read it",
                                 Trouble::cannot_open));
    bytes_ = static_cast<std::int64_t>(fs::file_size(file_));
  }

  std::int64_t run(const Progress& progress) {
    read_head();
    auto writing = std::make_unique<Writing>(connection_);
    while (!read_line_of_log()) {
      if (entries_ % lines_a_step != 0) continue;
      writing->commit();
      if (progress && !progress(read_, bytes_)) refuse_as_stopped(file_);
      writing = std::make_unique<Writing>(connection_);
    }
    writing->commit();
    if (next_line()) refuse("", "there is more after the last line", "Export the store anew");
    return entries_;
  }

 private:
  [[noreturn]] void refuse(std::string field, std::string what, std::string remedy) const {
    throw Refused(Problem{files::Place{file_, number_, 1}, std::move(field), std::move(what), std::move(remedy)});
  }

  bool next_line() {
    line_.clear();
    ++number_;
    // Not getline: it would take a file without line ends whole into memory.
    for (int letter = in_.get(); letter != std::char_traits<char>::eof(); letter = in_.get()) {
      ++read_;
      line_ += static_cast<char>(letter);
      if (letter == '\n') return true;
      if (line_.size() > longest_line) refuse("", "the line is longer than 2 MiB", "Is this an exported store?");
    }
    return !line_.empty();
  }

  Json next_json() {
    if (!next_line()) refuse("", "the file ends before its last line", "It was cut short: export the store anew");
    auto json = files::parse_json_text(line_, file_, number_);
    if (!json) throw Refused(json.problems());
    return std::move(json.value());
  }

  void read_head() {
    files::Problems problems;
    const Json json = next_json();
    files::JsonReader reader(json, "", place(), problems);
    reader.whole("oddgrist_export", 1, export_version, "1; a higher number was written by a newer oddgrist");
    if (!problems.empty()) throw Refused(problems);
  }

  // True: it was the last.
  bool read_line_of_log() {
    files::Problems problems;
    const Json json = next_json();
    files::JsonReader reader(json, "", place(), problems);
    if (json.is_object() && json.contains("end")) {
      const auto count = reader.whole("end", 0, INT64_MAX, "how many entries there are");
      const std::string crc = reader.text("crc32", 8, files::JsonReader::Blank::refused);
      if (problems.empty() && (count != entries_ || crc != sum_.text())) {
        refuse("end", "the lines above are not those that were exported",
               "The file was changed, or damaged on its way: export the store anew");
      }
      if (!problems.empty()) throw Refused(problems);
      return true;
    }
    sum_.take(line_);
    add_entry(reader, problems);
    return false;
  }

  void add_entry(files::JsonReader& reader, files::Problems& problems) {
    using Blank = files::JsonReader::Blank;
    const std::int64_t id = reader.whole("id", entries_ + 1, entries_ + 1, fmt::format("{}, the next", entries_ + 1));
    Line line;
    line.stream = reader.text("stream", 200, Blank::refused);
    line.key = reader.text("key", 200, Blank::refused);
    line.kind = reader.text("kind", 40, Blank::refused);
    line.version = static_cast<int>(reader.whole("version", 1, 1'000'000, "the version of the entry"));
    const std::string at = reader.text("at", 40, Blank::refused);
    const auto instant = files::instant_of(at);
    if (!instant) reader.report("at", fmt::format("at is \"{}\"", at), "Write it like 2026-11-25T13:18:14.123Z");
    line.at = instant.value_or(Instant{});
    line.mends = reader.text("mends", 200, Blank::allowed);
    const Json* body = reader.take("body");
    line.body = body == nullptr ? "" : body->dump();
    reader.report_unknown_keys();
    if (!problems.empty()) throw Refused(problems);
    auto understood = understand(std::move(line), place());
    if (!understood) throw Refused(understood.problems());
    if (find_key(connection_, understood.value().line.key))
      refuse("key", "an earlier line has the same key", "The file was changed: export the store anew");
    if (write_through(connection_, lists_, understood.value()) != id)
      refuse("id", "the entry came out under another number", "Import into a place where there is no store");
    ++entries_;
  }

  [[nodiscard]] files::Place place() const { return {file_, number_, 1}; }

  std::string file_;
  std::ifstream in_;
  Connection& connection_;
  Lists lists_;
  Sum sum_;
  std::string line_;
  int number_ = 0;
  std::int64_t read_ = 0;
  std::int64_t bytes_ = 0;
  std::int64_t entries_ = 0;
};

}  // namespace

Result<std::int64_t> Store::export_to(const Sink& sink) const {
  return in_room<std::int64_t>(*room_, Doing::reading,
                               [&] { return export_lines(*room_->connection, room_->path, sink, {}); });
}

Result<std::int64_t> Store::export_to_file(const std::string& path, const Progress& progress) const {
  return guarded<std::int64_t>(path, Doing::writing, [&] {
    if (fs::exists(path)) refuse_writing(path, EEXIST);
    PartFile part(path);
    std::ofstream out(part.path(), std::ios::binary | std::ios::trunc);
    // What cannot be read is said in terms of the store.
    const auto read = in_room<std::int64_t>(*room_, Doing::reading, [&] {
      return export_lines(
          *room_->connection, path,
          [&](std::string_view text) {
            errno = 0;
            if (!out.write(text.data(), static_cast<std::streamsize>(text.size())))
              refuse_writing(path, errno == 0 ? EIO : errno);
            return true;
          },
          progress);
    });
    if (!read) throw Refused(read.problems());
    errno = 0;
    out.close();
    if (!out) refuse_writing(path, errno == 0 ? EIO : errno);
    part.put_in_place();
    return read.value();
  });
}

Result<std::int64_t> Store::import(const std::string& exported, const std::string& path, const Progress& progress) {
  const std::string real = real_path(path);
  return guarded<std::int64_t>(real, Doing::writing, [&] {
    if (fs::exists(real)) refuse_writing(real, EEXIST);
    make_folder_of(real);
    PartFile part(real);
    std::int64_t entries = 0;
    {
      Connection connection(part.path(), Access::create, std::chrono::milliseconds(0));
      connection.run(
          "PRAGMA journal_mode = MEMORY; PRAGMA synchronous = OFF; PRAGMA foreign_keys = ON; PRAGMA cache_size = "
          "-16000");
      bring_up_to_date(connection);
      Importing importing(exported, connection);
      entries = importing.run(progress);
    }
    part.put_in_place();
    return entries;
  });
}

}  // namespace oddgrist::store
