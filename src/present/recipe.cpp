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
    case Outcome::none: return "None: there is no recipe; what would come nearest cannot be brewed.";
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
    together += clash.least_change.empty() ? ". No single change was found that cures it"
                                           : ". Least change that cures it: " + clash.least_change;
    page.paragraph("  - ", together);
  }
}

std::string fermenter_words(const Addition& addition) {
  if (!(addition.fermenter_day > 0.0)) return "fermenter, with the yeast";
  const std::string out =
      addition.contact_days > 0.0 ? ", out again after " + days_words(addition.contact_days) : std::string();
  return "fermenter, " + days_words(addition.fermenter_day) + " after the yeast" + out;
}

bool mashes(const compose::WayTaken& way) {
  return way.mashing == process::Mashing::bag || way.mashing == process::Mashing::sparge;
}

// Where an addition goes, and when.
std::string place_words(const Brief& brief, const Proposal& proposal, const Addition& addition) {
  switch (addition.route) {
    case Route::mash:
      if (addition.kind == larder::IngredientKind::salt || addition.kind == larder::IngredientKind::acid)
        return mashes(proposal.way) ? "into the mash water" : "into the water";
      return proposal.way.mashing == process::Mashing::steep ? "steeped" : "mash";
    case Route::boil:
      if (addition.minutes_before_boil_end >= brief.kit.boil.in(minute)-0.5) return "boil, from its start";
      return "boil, " + number(addition.minutes_before_boil_end, 0) + " minutes before its end";
    case Route::flame_out: return proposal.way.boiled ? "kettle, at flame-out" : "kettle, while it stands hot";
    case Route::fermenter: return fermenter_words(addition);
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

// How much water, and where it goes; what of it meets grain, how hot.
std::string water_words(const Units& units, const Brief& brief, const Proposal& proposal) {
  const auto& forecast = proposal.forecast;
  const bool grain = proposal.way.mashing != process::Mashing::none;
  const std::string purpose = mashes(proposal.way) ? "for the mash" : "to steep the grain in";
  std::vector<std::string> parts;
  if (grain && forecast.liquor_l - forecast.mash_liquor_l < 0.05) {
    parts.push_back("all of it " + purpose);
  } else if (grain) {
    parts.push_back(units.volume(forecast.mash_liquor_l * litre) + " of it " + purpose);
  }
  if (forecast.fermenter_water_l >= 0.02) {
    parts.push_back(units.volume(forecast.fermenter_water_l * litre) + " of it to the wort in the fermenter" +
                    (brief.kit.fermenter_water == process::FermenterWater::boiled ? ", boiled and cooled" : ", cold"));
  } else if (!grain) {
    parts.push_back("all of it for the kettle");
  }
  const bool all = parts.size() == 1 && parts.front().starts_with("all");
  std::string words = units.volume(forecast.liquor_l * litre) + (all ? "" : " in all");
  for (const std::string& part : parts) words += ", " + part;
  if (!grain) return words + ".";
  return words + "; strike at " + units.temperature(forecast.strike_temperature_c * celsius) + ", " +
         (mashes(proposal.way) ? "rest" : "steep") + " at " +
         units.temperature(proposal.charge.rest_temperature_c * celsius) + ".";
}

void write_goes_in(Page& page, const Brief& brief, const Proposal& proposal) {
  const Units units(brief.us_units_first);
  page.heading("What goes in (* given)");
  if (proposal.way.way != process::Way::bag && proposal.way.way != process::Way::sparge)
    page.paragraph("  Way   ", std::string(process::row_of(proposal.way.way).words) + ".");
  std::size_t amount_columns = 0;
  for (const Addition& addition : proposal.additions)
    amount_columns = std::max(amount_columns, columns(units.mass(addition.amount)));
  bool yeast_listed = false;
  for (const Addition* addition : in_order(proposal)) {
    yeast_listed = yeast_listed || addition->kind == larder::IngredientKind::yeast;
    page.paragraph(
        std::string(addition->given ? "* " : "  ") + padded(units.mass(addition->amount), amount_columns) + "  ",
        addition->ingredient + ": " + place_words(brief, proposal, *addition));
  }
  const double yeast_kg = process::total_mass_kg(proposal.charge.yeast);
  if (!yeast_listed && !proposal.yeast.name.empty()) {
    page.paragraph("  " + padded(yeast_kg > 0.0 ? units.mass(yeast_kg * kilogram) : "", amount_columns) + "  ",
                   proposal.yeast.name + ": fermenter, at " + units.temperature(brief.ferment_at));
  }
  page.paragraph("  Water ", water_words(units, brief, proposal));
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

// The chance in plain words, beside the status.
void write_likelihood(Page& page, const Answer& answer) {
  if (!answer.likelihood) return;
  const compose::Likelihood& likelihood = *answer.likelihood;
  std::string words = "It keeps every wish in about " + number(10.0 * likelihood.chance, 0) + " of 10 brews";
  if (likelihood.changed)
    words += " (the recipe best on paper, which --on-paper shows, in " + number(10.0 * likelihood.on_paper, 0) + ")";
  for (std::size_t i = 0; i < likelihood.learn_first.size(); ++i)
    words += (i == 0 ? "; surest to raise that: know better the " : " and the ") + likelihood.learn_first[i];
  page.paragraph("", words + ".");
}

void write_departures(Page& page, const Proposal& proposal) {
  if (proposal.departures.empty()) return;
  page.heading("Where it leaves what brewers keep to, because the brief asks for it");
  for (const compose::Departure& departure : proposal.departures)
    page.paragraph("  - ", departure.words + ": " + departure.means + " [" + departure.source + "]");
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
  write_likelihood(page, answer);
  for (const std::string& limit : answer.broken_limits) page.paragraph("  ! ", "It would break: " + limit + ".");
  write_clashes(page, answer);
  if (answer.proposals.empty()) page.paragraph("", "No recipe was found.");
  for (std::size_t i = 0; i < answer.proposals.size(); ++i) {
    const Proposal& proposal = answer.proposals[i];
    if (i > 0) page.heading("---- Another way: " + (proposal.name.empty() ? number(double(i + 1), 0) : proposal.name));
    write_goes_in(page, brief, proposal);
    write_forecast(page, brief, proposal);
    write_departures(page, proposal);
    write_bindings(page, proposal);
  }
  write_cautions(page, answer, "Mind");
  return std::move(page).take();
}

}  // namespace oddgrist::present
