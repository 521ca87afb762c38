#include "present/recipe.hpp"

#include <algorithm>
#include <string_view>
#include <utility>
#include <vector>

#include "compose/alternatives.hpp"
#include "compose/character.hpp"
#include "present/allergens.hpp"
#include "present/wishes.hpp"
#include "present/words.hpp"
#include "process/forecast.hpp"

namespace oddgrist::present {
namespace {

using compose::Addition;
using compose::Answer;
using compose::Brief;
using compose::Caution;
using compose::Outcome;
using compose::Proposal;
using compose::Route;
using compose::Severity;

// A page being written: paragraphs are wrapped, and rows after the first hang under the text.
class Page {
 public:
  void heading(std::string_view words) {
    text_ += "\n";
    paragraph("", words);
  }
  void paragraph(std::string_view lead, std::string_view words) {
    const auto lines = wrapped(words, recipe_columns - columns(lead));
    for (std::size_t i = 0; i < lines.size(); ++i) {
      text_ += (i == 0 ? std::string(lead) : std::string(columns(lead), ' ')) + lines[i] + "\n";
    }
  }
  std::string take() && { return std::move(text_); }

 private:
  std::string text_;
};

std::string outcome_line(const Answer& answer) {
  switch (answer.outcome) {
    case Outcome::met: return "Met: this recipe keeps every wish.";
    case Outcome::nearest: return "Nearest: not every wish can be kept; this comes closest.";
    case Outcome::refused: return "Refused: not safe to brew. There is no recipe.";
  }
  return "";
}

void write_clashes(Page& page, const Answer& answer) {
  if (answer.clashes.empty()) return;
  page.heading("What cannot go together");
  for (const compose::Clash& clash : answer.clashes) {
    std::string together;
    for (std::size_t i = 0; i < clash.wishes.size(); ++i) {
      together += (i == 0 ? "" : i + 1 == clash.wishes.size() ? " and " : ", ") + ("\"" + clash.wishes[i] + "\"");
    }
    if (!clash.least_change.empty()) together += ". Least change that cures it: " + clash.least_change;
    page.paragraph("  - ", together);
  }
}

// Where an addition goes, and when.
std::string place_words(const Brief& brief, const Addition& addition) {
  switch (addition.route) {
    case Route::mash:
      return addition.kind == larder::IngredientKind::salt || addition.kind == larder::IngredientKind::acid
                 ? "into the mash water"
                 : "mash";
    case Route::boil:
      if (addition.minutes_before_boil_end >= brief.kit.boil.in(minute)-0.5) return "boil, from its start";
      return "boil, " + number(addition.minutes_before_boil_end, 0) + " minutes before its end";
    case Route::flame_out: return "kettle, at flame-out";
    case Route::fermenter: return "fermenter, with the yeast";
    case Route::infusion: return "infusion, dosed after the first fermentation";
  }
  return "";
}

// In the order they are needed; boil additions by the clock.
std::vector<const Addition*> in_order(const Proposal& proposal) {
  std::vector<const Addition*> sorted;
  for (const Addition& addition : proposal.additions) sorted.push_back(&addition);
  std::stable_sort(sorted.begin(), sorted.end(), [](const Addition* a, const Addition* b) {
    if (a->route != b->route) return a->route < b->route;
    return a->route == Route::boil && a->minutes_before_boil_end > b->minutes_before_boil_end;
  });
  return sorted;
}

void write_goes_in(Page& page, const Brief& brief, const Proposal& proposal) {
  const Units units(brief.us_units_first);
  page.heading("What goes in (* given)");
  std::size_t amount_columns = 0;
  for (const Addition& addition : proposal.additions)
    amount_columns = std::max(amount_columns, columns(units.mass(addition.amount)));
  bool yeast_listed = false;
  for (const Addition* addition : in_order(proposal)) {
    yeast_listed = yeast_listed || addition->kind == larder::IngredientKind::yeast;
    page.paragraph(
        std::string(addition->given ? "* " : "  ") + padded(units.mass(addition->amount), amount_columns) + "  ",
        addition->ingredient + ": " + place_words(brief, *addition));
  }
  const double yeast_kg = process::total_mass_kg(proposal.charge.yeast);
  if (!yeast_listed && !proposal.yeast.name.empty()) {
    page.paragraph("  " + padded(yeast_kg > 0.0 ? units.mass(yeast_kg * kilogram) : "", amount_columns) + "  ",
                   proposal.yeast.name + ": fermenter, at " + units.temperature(brief.ferment_at));
  }
  const auto& forecast = proposal.forecast;
  const bool all_for_mash = forecast.liquor_l - forecast.mash_liquor_l < 0.05;
  const std::string for_mash = all_for_mash
                                   ? ", all of it for the mash"
                                   : " in all, " + units.volume(forecast.mash_liquor_l * litre) + " of it for the mash";
  page.paragraph("  Water ", units.volume(forecast.liquor_l * litre) + for_mash + "; strike at " +
                                 units.temperature(forecast.strike_temperature_c * celsius) + ", rest at " +
                                 units.temperature(proposal.charge.rest_temperature_c * celsius) + ".");
  for (const compose::Purchase& purchase : proposal.purchases) {
    const std::string packets = purchase.packets > 0
                                    ? ": " + counted(static_cast<std::size_t>(purchase.packets), "packet", "packets") +
                                          " of " + units.mass(purchase.packet)
                                    : "";
    page.paragraph("  To buy ", purchase.ingredient + ", " + units.mass(purchase.needed) + packets + ".");
  }
  if (const double cost = compose::cost_of(brief, proposal); cost > 0.0)
    page.paragraph("  Costs ", fixed(cost, 2) + " in all, at the prices the brief states.");
  const std::string contains = allergen_words(brief, proposal);
  if (!contains.empty()) page.paragraph("  Contains ", contains + ".");
}

void write_character(Page& page, const Brief& brief, const Proposal& proposal) {
  const std::string words = character_words(compose::character_of(brief, proposal));
  if (!words.empty()) page.paragraph("  - ", "all in all: " + words);
}

void write_forecast(Page& page, const Brief& brief, const Proposal& proposal) {
  page.heading("What comes out");
  for (const std::string& line : wish_lines(brief, proposal)) page.paragraph("  - ", line);
  for (const std::string& reason : proposal.forecast.impossible)
    page.paragraph("  ! ", "Cannot be brewed so: " + reason + ".");
  write_character(page, brief, proposal);
}

void write_bindings(Page& page, const Proposal& proposal) {
  if (proposal.bindings.empty()) return;
  page.heading("What holds it where it is");
  for (const compose::Binding& binding : proposal.bindings) {
    page.paragraph("  - ", binding.what + (binding.effect.empty() ? "" : ": " + binding.effect));
  }
}

std::string_view severity_word(Severity severity) {
  switch (severity) {
    case Severity::refuse: return "REFUSED ";
    case Severity::danger: return "DANGER  ";
    case Severity::caution: return "CAUTION ";
    case Severity::note: return "Note    ";
  }
  return "";
}

void write_cautions(Page& page, const Answer& answer, std::string_view title) {
  if (answer.cautions.empty()) return;
  page.heading(title);
  for (const Caution& caution : answer.cautions) {
    page.paragraph(severity_word(caution.severity),
                   caution.text + (caution.source.empty() ? "" : " [" + caution.source + "]"));
  }
}

}  // namespace

std::string recipe_text(const Brief& brief, const Answer& answer) {
  Page page;
  page.paragraph("", outcome_line(answer));
  if (!brief.name.empty()) page.paragraph("", "Recipe for: " + brief.name + ", on " + brief.kit.name);
  if (answer.outcome == Outcome::refused) {
    write_cautions(page, answer, "Why");
    return std::move(page).take();
  }
  write_clashes(page, answer);
  if (answer.proposals.empty()) page.paragraph("", "No recipe was found.");
  for (std::size_t i = 0; i < answer.proposals.size(); ++i) {
    const Proposal& proposal = answer.proposals[i];
    if (i > 0) page.heading("---- Another way: " + (proposal.name.empty() ? number(double(i + 1), 0) : proposal.name));
    write_goes_in(page, brief, proposal);
    write_forecast(page, brief, proposal);
    write_bindings(page, proposal);
  }
  write_cautions(page, answer, "Mind");
  return std::move(page).take();
}

}  // namespace oddgrist::present
