#include "present/kit.hpp"

#include <algorithm>
#include <cmath>

#include <fmt/format.h>

#include "present/gyle.hpp"

namespace oddgrist::present {
namespace {

constexpr std::size_t width = gyle_columns;

std::string paragraph(std::string_view text, std::string_view before = "") {
  std::string lines;
  for (const std::string& line : wrapped(text, width - before.size())) {
    lines += fmt::format("{}{}\n", before, line);
  }
  return lines;
}

std::string joined(const std::vector<std::string>& names) {
  std::string text;
  for (std::size_t i = 0; i < names.size(); ++i) {
    if (i > 0) text += i + 1 == names.size() ? " and " : ", ";
    text += names[i];
  }
  return text;
}

std::string range_words(const std::string& unit, double value, double low, double high) {
  return fmt::format("{} ({} to {})", figure_words(unit, value), figure_words(unit, low), figure_words(unit, high));
}

std::string narrower_words(double narrower) {
  const double percent = std::round(100.0 * std::abs(narrower));
  if (percent < 1.0) return "as wide";
  return fmt::format("{:.0f} % {}", percent, narrower > 0.0 ? "narrower" : "wider");
}

std::string figure_lines(const gyle::LearnedFigure& each) {
  std::string text = each.name + "\n";
  text += fmt::format("  stated   {}\n", range_words(each.unit, each.stated, each.stated_low, each.stated_high));
  if (each.gyles == 0) {
    text += "  learned  nothing yet\n";
  } else {
    text += fmt::format("  learned  {}, {}, from {}\n",
                        range_words(each.unit, each.learned, each.learned_low, each.learned_high),
                        narrower_words(each.narrower), counted(static_cast<std::size_t>(each.gyles), "gyle", "gyles"));
  }
  if (each.let_go > 0) {
    text += fmt::format("  What was known before was let go {}, since it was stated otherwise.\n",
                        each.let_go == 1 ? "once" : fmt::format("{} times", each.let_go));
  }
  return text;
}

std::string sight_name(gyle::Sight sight) { return sight == gyle::Sight::volume ? "volume" : "gravity"; }

}  // namespace

std::string figure_words(const std::string& unit, double value) {
  if (unit == "share") return fmt::format("{} %", number(100.0 * value, 1));
  if (unit == "factor") return fixed(value, 3);
  return fmt::format("{} {}", fixed(value, 2), unit);
}

std::string kit_text(const KitStory& story) {
  if (story.gyles.empty()) {
    return paragraph(
        fmt::format("No gyle was brewed on \"{}\". oddgrist kit shows the kits there are; a brief names its own with "
                    "kit.name.",
                    story.name));
  }
  std::string text;
  if (story.told.empty()) {
    text += paragraph(fmt::format(
        "{}: {} on it, none with a reading that tells anything. Read volume and gravity before the boil, after it and "
        "in the fermenter.",
        story.name, counted(story.gyles.size(), "gyle", "gyles")));
  } else {
    text += paragraph(fmt::format("{}: learned from {} ({}). In brackets where 8 days in 10 come out.", story.name,
                                  counted(story.told.size(), "gyle", "gyles"), joined(story.told)));
    text += '\n';
  }
  for (const gyle::LearnedFigure& each : story.figures) text += figure_lines(each);
  if (!story.strange.empty()) {
    text += '\n' +
            paragraph(fmt::format("Did not fit what was known before: {}. It counts for less, and the next for more.",
                                  joined(story.strange)));
  }
  if (!story.useful.empty()) {
    const gyle::UsefulReading& first = story.useful.front();
    text += '\n' +
            paragraph(fmt::format(
                "Most is learned next from the {} {}: it takes {:.0f} % off what not knowing the kit adds to the doubt "
                "about original gravity and volume.",
                sight_name(first.sight), stage_words(first.stage), 100.0 * first.takes_off));
  }
  if (!story.left_out.empty())
    text += '\n' + paragraph(fmt::format("Left out, since their logs cannot be read: {}.", joined(story.left_out)));
  return text;
}

std::string learned_text(const std::string& kit, const std::vector<gyle::LearnedFigure>& figures) {
  std::string taken;
  for (const gyle::LearnedFigure& each : figures) {
    taken += paragraph(fmt::format("{}: {} instead of {}, from {}", each.name, figure_words(each.unit, each.learned),
                                   figure_words(each.unit, each.stated),
                                   counted(static_cast<std::size_t>(each.gyles), "gyle", "gyles")),
                       "  ");
  }
  if (taken.empty()) {
    return '\n' + paragraph(fmt::format(
                      "Nothing is learned of \"{}\" yet: its figures are taken as stated, and the forecast is as "
                      "unsure as on a kit nobody has brewed on.",
                      kit));
  }
  return '\n' + paragraph(fmt::format("Reckoned with what is learned of \"{}\":", kit)) + taken;
}

}  // namespace oddgrist::present
