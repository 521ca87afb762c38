#include "files/marks_file.hpp"

#include <algorithm>

#include <fmt/format.h>

#include "files/text_file.hpp"
#include "files/toml_reader.hpp"

namespace oddgrist::files {
namespace {

constexpr double highest = 1000.0;  // ten metres in cm; no kettle of ours has a thousand marks either
const Limits<VolumeKind> held = {0.0 * litre, 10000.0 * litre, "from 0 to 10,000 L"};
constexpr std::string_view example = "A mark is [[mark]] and below it height = 10 and volume = \"6.4 L\"";

struct Mark {
  double height = 0.0, volume_l = 0.0;
  Place place;
};

std::vector<Mark> marks_of(TableReader& file) {
  std::vector<Mark> marks;
  for (const toml::table* entry : file.tables("mark")) {
    TableReader reader(*entry, fmt::format("mark[{}]", marks.size() + 1), file.place().file, file.problems());
    const auto height = reader.number("height", 0.0, highest, "from 0 to 1000");
    const auto volume = reader.quantity<VolumeKind>("volume", held, "6.4 L");
    for (const std::string_view key : {"height", "volume"}) {
      if (!reader.has(key))
        reader.report(reader.place(), key, fmt::format("{} is missing", reader.field(key)), std::string(example));
    }
    reader.report_unknown_keys();
    marks.push_back({height.value_or(0.0), volume ? volume->in(litre) : 0.0, reader.place()});
  }
  return marks;
}

void check_rise(const std::vector<Mark>& marks, TableReader& file) {
  for (std::size_t i = 1; i < marks.size(); ++i) {
    const Mark &lower = marks[i - 1], &mark = marks[i];
    if (mark.height > lower.height && mark.volume_l >= lower.volume_l) continue;
    const bool twice = mark.height <= lower.height;
    file.report(mark.place, "mark",
                twice ? fmt::format("height {} stands here a second time", mark.height)
                      : fmt::format("at height {} there is less in it, {} L, than the {} L at height {}", mark.height,
                                    mark.volume_l, lower.volume_l, lower.height),
                twice ? "Keep one of the two" : "One of the two is wrong: fill the vessel to there and measure again");
  }
}

}  // namespace

Result<gyle::Marks> read_marks_text(std::string_view text, const std::string& path) {
  Problems problems;
  const auto root = parse_toml(text, path, problems);
  if (!root) return problems;
  TableReader file(*root, "", path, problems);
  std::vector<Mark> marks = marks_of(file);
  file.report_unknown_keys();
  if (problems.empty() && marks.size() < 2) {
    file.report(Place{path, 0, 0}, "mark", "there are fewer than two marks in it", std::string(example));
  }
  if (problems.empty()) {
    std::stable_sort(marks.begin(), marks.end(), [](const Mark& a, const Mark& b) { return a.height < b.height; });
    check_rise(marks, file);
  }
  if (!problems.empty()) {
    sort_by_place(problems);
    return problems;
  }
  gyle::Marks rising;
  for (const Mark& mark : marks) rising.emplace_back(mark.height, mark.volume_l);
  return rising;
}

Result<gyle::Marks> read_marks_file(const std::string& path) {
  const auto text = read_text_file(path);
  if (!text) return text.problems();
  return read_marks_text(text.value(), path);
}

}  // namespace oddgrist::files
