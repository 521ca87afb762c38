#include "store/log.hpp"

#include <algorithm>
#include <array>
#include <random>
#include <unordered_map>

#include <fmt/format.h>

#include "files/event_json.hpp"
#include "files/text_file.hpp"
#include "store/bodies.hpp"

namespace oddgrist::store {
namespace {

using files::Json;
using files::Problem;
using files::Problems;

constexpr std::size_t longest_body = std::size_t{512} << 10;
constexpr std::size_t longest_stream_part = 120;
// Of what a round keeps, nothing but the shape is known here; sorted keys make equal bodies equal texts.
using SortedJson = nlohmann::json;

// A text that is not UTF-8 cannot be written as JSON; understand() refuses what stands here instead.
std::string kept(const Json& json) { return files::compact_json(json).value_or("\xFF"); }

std::optional<Meaning> meaning_in(const StreamName& stream, const Line& line, const Json& json,
                                  const files::Place& place, Problems& problems) {
  if (stream.sort == StreamSort::gyle) {
    auto what = files::event_from_body(line.kind, line.version, json, place);
    if (what) return Meaning(std::move(what.value()));
    problems.insert(problems.end(), what.problems().begin(), what.problems().end());
    return std::nullopt;
  }
  if (line.version != 1) {
    problems.push_back(Problem{place, "version",
                               fmt::format("the entry is of version {}, this oddgrist knows 1", line.version),
                               "Use a newer oddgrist"});
    return std::nullopt;
  }
  files::JsonReader reader(json, "body", place, problems);
  const auto wrapped = [](auto&& read) -> std::optional<Meaning> {
    if (!read) return std::nullopt;
    return Meaning(std::move(*read));
  };
  switch (stream.sort) {
    case StreamSort::larder: return wrapped(read_stock(line.kind, reader));
    case StreamSort::kit: return wrapped(read_kit(line.kind, reader));
    case StreamSort::brief: return wrapped(read_brief(line.kind, reader));
    default: return Meaning(json);
  }
}

std::string kept_body(const Meaning& meaning) {
  struct Kept {
    std::string operator()(const gyle::What& what) const { return kept(files::event_body_json(what)); }
    std::string operator()(const StockWhat& what) const { return kept(body_json(what)); }
    std::string operator()(const KitWhat& what) const { return kept(body_json(what)); }
    std::string operator()(const BriefWhat& what) const { return kept(body_json(what)); }
    std::string operator()(const Json& json) const { return SortedJson(json).dump(); }
  };
  return std::visit(Kept{}, meaning);
}

bool is_kind_word(std::string_view kind) {
  return !kind.empty() && kind.size() <= 40 && std::all_of(kind.begin(), kind.end(), [](char letter) {
    return (letter >= 'a' && letter <= 'z') || letter == '-';
  });
}

bool is_strike(const Meaning& meaning) {
  return std::visit(
      [](const auto& what) {
        if constexpr (requires { std::get_if<gyle::Struck>(&what); })
          return std::holds_alternative<gyle::Struck>(what);
        else
          return false;
      },
      meaning);
}

void check_frame(const Line& line, const files::Place& place, Problems& problems) {
  const auto report = [&](std::string field, std::string what, std::string remedy) {
    problems.push_back(Problem{place, std::move(field), std::move(what), std::move(remedy)});
  };
  if (!files::is_key(line.key)) {
    report("key", "the key is empty, too long, or holds a space or a character that is not plain ASCII",
           "Make it of 1 to 200 letters, digits and - . _ : /");
  }
  if (!line.mends.empty() && (!files::is_key(line.mends) || line.mends == line.key))
    report("mends", fmt::format("mends is \"{}\"", line.mends), "It must be the key of an earlier entry");
  if (line.at < Instant{} || line.at >= Instant(std::chrono::sys_days(std::chrono::year(9999) / 12 / 31)))
    report("at", "the moment is not between 1970 and 9998", "Set the clock of whatever wrote it");
  if (!is_kind_word(line.kind))
    report("kind", fmt::format("\"{}\" is no kind of entry", line.kind), "It is a word of lower-case letters");
  if (line.body.size() > longest_body)
    report("body", fmt::format("the entry is {} bytes long", line.body.size()), "At most 512 KiB are kept");
}

}  // namespace

std::optional<StreamName> stream_name(std::string_view stream) {
  if (stream == "larder") return StreamName{StreamSort::larder, ""};
  const auto slash = stream.find('/');
  if (slash == std::string_view::npos) return std::nullopt;
  const std::string_view rest = stream.substr(slash + 1);
  const bool sound = !rest.empty() && rest.size() <= longest_stream_part && rest.front() != ' ' && rest.back() != ' ' &&
                     std::none_of(rest.begin(), rest.end(), [](char letter) {
                       return static_cast<unsigned char>(letter) < 0x20 || letter == 0x7F || letter == '/';
                     });
  if (!sound || files::problem_in_text(rest, "")) return std::nullopt;
  const std::string_view head = stream.substr(0, slash);
  constexpr std::array<std::pair<std::string_view, StreamSort>, 4> sorts = {{{"gyle", StreamSort::gyle},
                                                                             {"kit", StreamSort::kit},
                                                                             {"brief", StreamSort::brief},
                                                                             {"round", StreamSort::round}}};
  for (const auto& one : sorts) {
    if (one.first == head) return StreamName{one.second, std::string(rest)};
  }
  return std::nullopt;
}

files::Result<Understood> understand(Line line, const files::Place& place) {
  Problems problems;
  const auto stream = stream_name(line.stream);
  if (!stream) {
    return Problem{place, "stream", fmt::format("\"{}\" is no stream of a store", line.stream),
                   "It is larder, or gyle/, kit/, brief/ or round/ and a name of at most 120 bytes without a slash"};
  }
  check_frame(line, place, problems);
  if (!problems.empty()) return problems;
  auto json = files::parse_json_text(line.body, place.file, place.line);
  if (!json) return json.problems();
  if (!json.value().is_object())
    return Problem{place, "body", "the body is no object", "Write { ... } with the keys the schema lists"};
  auto meaning = meaning_in(*stream, line, json.value(), place, problems);
  if (!problems.empty() || !meaning) return problems;
  if (const auto* kit = std::get_if<KitWhat>(&*meaning)) {
    const auto* stated = std::get_if<process::Kit>(kit);
    if (stated != nullptr && stated->name != stream->rest)
      return Problem{place, "body.name", "the kit's name is not that of its stream", "Write both the same"};
  }
  if (is_strike(*meaning) && line.mends.empty())
    return Problem{place, "mends", "an entry that strikes another out must name it", "Put its key into mends"};
  line.body = kept_body(*meaning);
  return Understood{std::move(line), std::move(*meaning)};
}

Line line_of(std::string_view gyle_id, const gyle::Entry& entry) {
  return Line{fmt::format("gyle/{}", gyle_id),
              entry.key,
              std::string(files::event_kind(entry.what)),
              files::event_version,
              entry.at,
              entry.mends,
              kept(files::event_body_json(entry.what))};
}

Line line_of(const StockEntry& entry) {
  return Line{"larder", entry.key,   std::string(kind_of(entry.what)), 1,
              entry.at, entry.mends, kept(body_json(entry.what))};
}

Line line_of(const process::Kit& kit, std::string_view key, Instant at) {
  return Line{"kit/" + kit.name, std::string(key), "stated", 1, at, "", kept(body_json(KitWhat(kit)))};
}

Line line_of(std::string_view brief_id, const BriefWhat& what, std::string_view key, Instant at) {
  return Line{fmt::format("brief/{}", brief_id),
              std::string(key),
              std::string(kind_of(what)),
              1,
              at,
              "",
              kept(body_json(what))};
}

std::string searchable_text(const Meaning& meaning) {
  struct Text {
    std::string operator()(const gyle::What& what) const {
      if (const auto* started = std::get_if<gyle::Started>(&what))
        return started->name + '\n' + files::name_in_brief(started->brief_text);
      if (const auto* note = std::get_if<gyle::Note>(&what)) return note->text;
      if (const auto* struck = std::get_if<gyle::Struck>(&what)) return struck->why;
      return {};
    }
    std::string operator()(const StockWhat& what) const {
      if (const auto* took = std::get_if<TookIn>(&what)) return took->remark;
      if (const auto* struck = std::get_if<gyle::Struck>(&what)) return struck->why;
      return {};
    }
    std::string operator()(const KitWhat& what) const {
      const auto* kit = std::get_if<process::Kit>(&what);
      return kit != nullptr ? kit->name : std::get<gyle::Struck>(what).why;
    }
    std::string operator()(const BriefWhat& what) const {
      if (const auto* brief = std::get_if<KeptBrief>(&what)) return brief->name + '\n' + brief->text;
      if (const auto* proposal = std::get_if<KeptProposal>(&what)) return proposal->name;
      if (const auto* note = std::get_if<gyle::Note>(&what)) return note->text;
      return std::get<gyle::Struck>(what).why;
    }
    std::string operator()(const Json&) const { return {}; }
  };
  return std::visit(Text{}, meaning);
}

std::vector<std::size_t> in_force(const std::vector<Mending>& entries) {
  constexpr std::size_t nobody = static_cast<std::size_t>(-1);
  std::unordered_map<std::string_view, std::size_t> place;
  for (std::size_t i = 0; i < entries.size(); ++i) place.emplace(entries[i].key, i);
  std::vector<std::size_t> mender(entries.size(), nobody);
  const auto last_word = [&mender](std::size_t i) {
    while (mender[i] != nobody) i = mender[i];
    return i;
  };
  for (std::size_t i = entries.size(); i-- > 0;) {
    if (entries[i].mends.empty() || (mender[i] != nobody && entries[last_word(i)].strike)) continue;
    const auto mended = place.find(entries[i].mends);
    if (mended != place.end() && mended->second < i && mender[mended->second] == nobody) mender[mended->second] = i;
  }
  std::vector<std::size_t> holding;
  for (std::size_t i = 0; i < entries.size(); ++i) {
    if (!entries[i].mends.empty()) continue;
    const std::size_t last = last_word(i);
    if (!entries[last].strike) holding.push_back(last);
  }
  return holding;
}

std::string fresh_key() {
  std::random_device device;
  return fmt::format("{:08x}{:08x}{:08x}{:08x}", device(), device(), device(), device());
}

}  // namespace oddgrist::store
