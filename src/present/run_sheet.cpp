#include "present/run_sheet.hpp"

#include <algorithm>
#include <cmath>
#include <optional>
#include <utility>
#include <variant>

#include "present/allergens.hpp"
#include "present/words.hpp"
#include "process/forecast.hpp"

namespace oddgrist::present {
namespace {

using compose::Addition;
using compose::Route;
using larder::IngredientKind;

// Below these nobody could measure the thing, so the sheet does not ask for it.
constexpr double least_water_l = 0.02;
constexpr double least_mass_kg = 0.00001;
constexpr double least_fat_share = 0.005;  // of a food: less sets no plate that could be lifted off

// The first step of a kind, and where it stands in the plan.
template <class Wanted>
std::pair<const Wanted*, std::size_t> find_step(const process::Plan<double>& plan) {
  for (std::size_t i = 0; i < plan.steps.size(); ++i) {
    if (const auto* step = std::get_if<Wanted>(&plan.steps[i])) return {step, i};
  }
  return {nullptr, 0};
}

// Writes the lines of one day. One member function a phase.
class Sheet {
 public:
  Sheet(const compose::Brief& brief, const compose::Proposal& proposal)
      : brief_(brief), proposal_(proposal), forecast_(proposal.forecast), units_(brief.us_units_first) {
    trace_ = forecast_.trace;
    if (trace_.size() != proposal.plan.steps.size())
      trace_ = process::forecast(proposal.plan, process::Trace::on).trace;
  }

  std::vector<SheetLine> lines() && {
    water();
    mash();
    drain();
    boil();
    chill();
    pitch();
    ferment();
    infuse();
    package();
    return std::move(lines_);
  }

 private:
  void water();
  void mash();
  void drain();
  void boil();
  void boil_additions(double boil_minutes);
  void chill();
  void pitch();
  void yeast();
  void ferment();
  void steep(const process::Steeping& steeping, Mass food);
  void infuse();
  void package();

  SheetLine& say(Phase phase, std::string clock, std::string action) {
    SheetLine& line = lines_.emplace_back(SheetLine{phase, std::move(clock), std::move(action), {}, {}});
    line.stage = stage_;
    return line;
  }
  SheetLine& takes(double minutes, SheetLine& line) {
    line.minutes = minutes;
    return line;
  }
  SheetLine& say_to_go(double minutes, std::string action) {
    SheetLine& line = say(Phase::boil, number(minutes, 0) + " to go", std::move(action));
    line.to_go = minutes;
    return line;
  }
  // With the line last said the gyle is in that stage; lines after it belong there.
  void reach(gyle::Stage stage) {
    stage_ = stage;
    if (!lines_.empty()) lines_.back().reaches = stage;
  }
  [[nodiscard]] std::string named(const Addition& addition) const {
    return addition.ingredient + ", " + units_.mass(addition.amount) + (addition.given ? " - given" : "");
  }
  [[nodiscard]] ExpectedReading temperature(double celsius_value) const {
    return {"temperature", celsius_value, "C", units_.temperature(celsius_value * celsius)};
  }
  [[nodiscard]] ExpectedReading gravity(double sg) const {
    return {"gravity", sg, "SG", units_.gravity(sg * specific_gravity)};
  }
  [[nodiscard]] ExpectedReading volume(std::string what, double litres) const {
    return {std::move(what), litres, "L", units_.volume(litres * litre)};
  }
  // What the kettle shows while hot, and the same wort once cold.
  [[nodiscard]] ExpectedReading hot_volume(double hot_l, double cold_l) const {
    return {"hot volume", hot_l, "L", units_.volume(hot_l * litre) + ", cold " + units_.volume(cold_l * litre)};
  }
  [[nodiscard]] std::vector<const Addition*> additions(Route route) const {
    std::vector<const Addition*> found;
    for (const Addition& addition : proposal_.additions) {
      if (addition.route == route && addition.kind != IngredientKind::yeast) found.push_back(&addition);
    }
    return found;
  }
  [[nodiscard]] std::optional<double> gravity_after(std::size_t step) const {
    if (step >= trace_.size()) return std::nullopt;
    const double sg = process::apparent_gravity_sg(trace_[step].after);
    return std::isfinite(sg) ? std::optional(sg) : std::nullopt;
  }
  [[nodiscard]] bool has_infusion() const { return !additions(Route::infusion).empty(); }
  [[nodiscard]] double ferment_temperature_c() const {
    const auto* step = find_step<process::Attenuate<double>>(proposal_.plan).first;
    return step ? step->how.temperature_c : brief_.ferment_at.in(celsius);
  }

  const compose::Brief& brief_;
  const compose::Proposal& proposal_;
  const process::Forecast<double>& forecast_;
  Units units_;
  std::vector<process::Moment<double>> trace_;
  std::vector<SheetLine> lines_;
  gyle::Stage stage_ = gyle::Stage::planned;
};

bool goes_into_the_water(const Addition& addition) {
  return addition.kind == IngredientKind::salt || addition.kind == IngredientKind::acid;
}

void Sheet::water() {
  const auto mash_additions = additions(Route::mash);
  SheetLine& heat = say(Phase::water, "", "Heat " + units_.volume(forecast_.mash_liquor_l * litre) + " of mash water.");
  heat.expected = {temperature(forecast_.strike_temperature_c)};
  // Burn times at 60-70 C are seconds: after Moritz and Henriques, Am. J. Pathol. 23 (1947), from memory.
  heat.warning = "It scalds in about a second: lid on, no child and no pet near the stove.";
  for (const Addition* addition : mash_additions) {
    if (goes_into_the_water(*addition)) say(Phase::water, "", "Stir into the water: " + named(*addition));
  }
}

void Sheet::mash() {
  for (const Addition* addition : additions(Route::mash)) {
    if (!goes_into_the_water(*addition)) say(Phase::mash, "", "Stir in, no lumps: " + named(*addition));
  }
  const auto* rest = find_step<process::Rest<double>>(proposal_.plan).first;
  const double minutes = rest ? rest->minutes : brief_.kit.rest.in(minute);
  const double rest_c = rest ? rest->temperature_c : proposal_.charge.rest_temperature_c;
  reach(gyle::Stage::mash);
  SheetLine& line = takes(minutes, say(Phase::mash, number(minutes, 0) + " min", "Heat off, lid on, wrapped: rest."));
  line.expected = {temperature(rest_c)};
}

void Sheet::drain() {
  const double sparge_l = process::liquid_volume_l(proposal_.charge.sparge_liquor, 20.0);
  const double top_up_l = process::liquid_volume_l(proposal_.charge.top_up, 20.0);
  const bool bag = brief_.kit.mash_method == process::MashMethod::full_volume_bag;
  SheetLine& lift = say(Phase::drain, "",
                        bag ? "Lift the bag, let it drip into the kettle, then squeeze it."
                            : "Run the wort off the grain into the kettle.");
  if (bag) lift.warning = "It is heavy and drips hot wort: thick gloves, two hands, a firm stand.";
  if (sparge_l >= least_water_l) {
    // 76 C: common practice, no source.
    say(Phase::drain, "",
        "Rinse the grain slowly with " + units_.volume(sparge_l * litre) + " of water at " +
            units_.temperature(76.0 * celsius) + ".");
  }
  if (top_up_l >= least_water_l)
    say(Phase::drain, "", "Top up the kettle with " + units_.volume(top_up_l * litre) + " of water.");
  reach(gyle::Stage::before_boil);
  SheetLine& kettle = say(Phase::drain, "", "Read the kettle before boiling.");
  kettle.expected = {gravity(forecast_.pre_boil_gravity_sg),
                     hot_volume(forecast_.pre_boil_volume_hot_l, forecast_.pre_boil_volume_l)};
}

void Sheet::boil_additions(double boil_minutes) {
  auto found = additions(Route::boil);
  std::stable_sort(found.begin(), found.end(), [](const Addition* a, const Addition* b) {
    return a->minutes_before_boil_end > b->minutes_before_boil_end;
  });
  for (const Addition* addition : found) {
    const double left = addition->minutes_before_boil_end;
    const bool at_start = std::abs(left - boil_minutes) < 0.5;
    const bool can_scorch = addition->kind == IngredientKind::sugar || addition->kind == IngredientKind::food;
    say_to_go(left, (at_start     ? "As the boil starts: "
                     : can_scorch ? "Stir in until dissolved: "
                                  : "Add: ") +
                        named(*addition));
  }
}

void Sheet::boil() {
  const auto* step = find_step<process::Boil<double>>(proposal_.plan).first;
  const double minutes = step ? step->minutes : brief_.kit.boil.in(minute);
  SheetLine& start =
      say(Phase::boil, number(minutes, 0) + " to go", "Rolling boil, lid off: start the clock, count down.");
  start.warning = "It foams over in the first minutes: stay beside it. Gas burners outdoors only.";
  reach(gyle::Stage::boil);
  boil_additions(minutes);
  say_to_go(0.0, "Flame out: heat off.");
  reach(gyle::Stage::after_boil);
  const double stand_minutes = brief_.kit.hot_stand.in(minute);
  if (stand_minutes > 0.0) say(Phase::boil, "", "Let it cool to " + units_.temperature(brief_.kit.hot_stand_at) + ".");
  for (const Addition* addition : additions(Route::flame_out))
    say(Phase::boil, "0 to go", "Stir in: " + named(*addition));
  if (stand_minutes > 0.0)
    takes(stand_minutes, say(Phase::boil, number(stand_minutes, 0) + " min", "Stand, lid on, before chilling."));
  SheetLine& after = say(Phase::boil, "", "Read the kettle after boiling.");
  after.expected = {gravity(forecast_.post_boil_gravity_sg),
                    hot_volume(forecast_.post_boil_volume_hot_l, forecast_.post_boil_volume_l)};
}

void Sheet::chill() {
  const auto* step = find_step<process::Chill<double>>(proposal_.plan).first;
  const double to_c = step ? step->to_c : brief_.ferment_at.in(celsius);
  const double minutes = brief_.kit.flame_out_to_cold.in(minute);
  SheetLine& line =
      takes(minutes, say(Phase::chill, number(minutes, 0) + " min", "Chill; from here on all sanitised."));
  line.expected = {temperature(to_c)};
  SheetLine& over = say(Phase::chill, "", "Transfer, without the sludge.");
  over.expected = {volume("volume", forecast_.fermenter_volume_l), gravity(forecast_.original_gravity_sg)};
  over.warning = "Hot wort sticks and burns: never move or pour a kettle before it is cold.";
  over.stage = gyle::Stage::fermenter;  // what is read is what came over
  reach(gyle::Stage::fermenter);
}

void Sheet::yeast() {
  bool listed = false;
  for (const Addition& addition : proposal_.additions) {
    if (addition.kind != IngredientKind::yeast) continue;
    say(Phase::ferment, "day 1", "Pitch: " + named(addition)).expected = {temperature(ferment_temperature_c())};
    listed = true;
  }
  if (listed) return;
  const double yeast_kg = process::total_mass_kg(proposal_.charge.yeast);
  const std::string name = proposal_.yeast.name.empty() ? "yeast" : proposal_.yeast.name;
  const std::string amount = yeast_kg >= least_mass_kg ? ", " + units_.mass(yeast_kg * kilogram) : "";
  say(Phase::ferment, "day 1", "Pitch: " + name + amount).expected = {temperature(ferment_temperature_c())};
}

void Sheet::pitch() {
  for (const Addition* addition : additions(Route::fermenter)) {
    say(Phase::ferment, "day 1", "Into the fermenter: " + named(*addition));
  }
  yeast();
}

void Sheet::ferment() {
  const bool lager = proposal_.yeast.yeast && proposal_.yeast.yeast->lager;
  // Days: common practice, no source.
  const std::string days = lager ? "day 14-28" : "day 7-14";
  SheetLine& hold = say(Phase::ferment, "",
                        "Airlock on, dark place, hold " + units_.temperature(ferment_temperature_c() * celsius) + ".");
  hold.warning = "It gives off carbon dioxide, which chokes unnoticed: keep it in an aired room.";
  SheetLine& read = say(Phase::ferment, days, "Go on only after two equal readings 3 days apart.");
  const std::size_t first = find_step<process::Attenuate<double>>(proposal_.plan).second;
  const std::optional<double> ended = has_infusion() ? gravity_after(first) : forecast_.final_gravity_sg;
  if (ended) {
    read.expected = {gravity(*ended), gravity(*ended)};
    read.expected[1].what = "gravity, 3 days later";
  }
}

// "30 min", "24 h", "7 days"
std::string duration_words(double minutes) {
  if (minutes < 120.0) return number(minutes, 0) + " min";
  return minutes < 2.0 * 1440.0 ? number(minutes / 60.0, 1) + " h" : number(minutes / 1440.0, 1) + " days";
}

void Sheet::steep(const process::Steeping& steeping, Mass food) {
  constexpr double safe_warm_minutes = 120.0;  // common practice, no source
  const std::string liquor = units_.volume(steeping.liquor_l_per_kg_food * food.in(kilogram)*litre);
  const std::string time = duration_words(steeping.minutes);
  if (steeping.in_spirit()) {
    SheetLine& line =
        say(Phase::infuse, time,
            "Cover with " + liquor + " of spirit, " + number(100.0 * steeping.liquor_alcohol_volume_fraction, 1) +
                " % vol; close, keep dark and cool, shake daily.");
    line.warning = "Spirit burns, its vapour too: no flame, hob or smoking near; never warm it.";
    return;
  }
  const bool into_the_fridge = steeping.minutes > safe_warm_minutes;
  SheetLine& line = say(Phase::infuse, time,
                        "Stir smooth and steep with " + liquor + " of boiling water" +
                            (into_the_fridge ? ", in the fridge within 2 hours." : "."));
  line.warning = "Boiling water: pour away from yourself.";
}

void Sheet::infuse() {
  if (!has_infusion()) return;
  // A night, an hour, a week: common practice, no source.
  constexpr double brew_day_minutes = 7.0 * 1440.0;  // the beer ferments at least so long
  const auto [dose, at] = find_step<process::Dose<double>>(proposal_.plan);
  const process::Steeping steeping = dose ? dose->steeping : process::Steeping{};
  const bool spirit = steeping.in_spirit();
  Mass food = 0.0 * kilogram;
  for (const Addition* addition : additions(Route::infusion)) {
    say(Phase::infuse, spirit ? (steeping.minutes <= brew_day_minutes ? "brew day" : "in time") : "eve before",
        (spirit ? "Into a clean jar: " : "Into a clean pan: ") + named(*addition));
    food = food + addition->amount;
  }
  steep(steeping, food);
  const bool fat = !dose || dose->food[process::Component::fat] > least_fat_share * process::total_mass_kg(dose->food);
  SheetLine& cold = say(Phase::infuse, "overnight",
                        fat ? "Chill it in the fridge until the fat sets on top." : "Chill it in the fridge.");
  if (!spirit) cold.warning = "From the pan to the fridge, used next day: kept warm it can grow deadly germs.";
  say(Phase::infuse, "",
      fat ? "Skim off the cold fat, strain through a cloth, drop the sludge."
          : "Strain through a cloth, drop the sludge.");
  SheetLine& in = say(Phase::infuse, "", "Dose all, stir, wait an hour.");
  if (const auto sg = dose ? gravity_after(at) : std::nullopt) in.expected = {gravity(*sg)};
  SheetLine& out = say(Phase::infuse, "day +5-10", "It ferments again: two equal readings 3 days apart.");
  out.expected = {gravity(forecast_.final_gravity_sg), gravity(forecast_.final_gravity_sg)};
  out.expected[1].what = "gravity, 3 days later";
}

void Sheet::package() {
  const auto* fill = find_step<process::Fill<double>>(proposal_.plan).first;
  const double volumes = fill ? fill->carbonation_volumes : brief_.carbonation_volumes;
  const double litres = forecast_.packaged_volume_l;
  SheetLine& rack = say(Phase::package, "", "Rack off the yeast, no splash.");
  rack.expected = {volume("volume", litres)};
  rack.stage = gyle::Stage::package;
  reach(gyle::Stage::package);
  const double sugar_g = forecast_.priming_sucrose_g;
  if (sugar_g >= 0.05 && litres > 0.0) {
    say(Phase::package, "",
        "Prime: table sugar " + units_.mass(sugar_g * gram) + " in all, " +
            units_.dose(sugar_g / litres * gram_per_litre) + ", for " + number(volumes, 1) +
            " volumes of CO2. Boil it in a little water, cool, stir in.");
  } else {
    say(Phase::package, "", "Carbonate to " + number(volumes, 1) + " volumes of CO2; no priming sugar.");
  }
  SheetLine& bottle =
      say(Phase::package, "",
          "Fill, leaving " + std::string(units_.us_first() ? "1.2 in (3 cm)" : "3 cm (1.2 in)") + " of air; cap.");
  bottle.warning =
      "Pressure: only sound bottles made for it, kept in a closed box. Beer not done fermenting bursts glass: never "
      "before two equal readings 3 days apart.";
  if (volumes > 3.0)
    bottle.warning +=
        " " + number(volumes, 1) + " volumes is more than an ordinary bottle bears: use ones rated for it.";
  const std::string contains = allergen_words(brief_, proposal_);
  say(Phase::package, "",
      "Label each one: name, day, " + fixed(forecast_.abv_percent, 1) + " % vol" +
          (contains.empty() ? "" : "; allergens: " + contains) + ".");
  SheetLine& keep = say(Phase::package, "14 days", "Keep at room temperature, then cool one and try it.");
  keep.warning = "For adults. Local law says whether it may be given, posted or sold: ask first.";
}

}  // namespace

std::string_view phase_name(Phase phase) {
  switch (phase) {
    case Phase::water: return "water";
    case Phase::mash: return "mash";
    case Phase::drain: return "drain";
    case Phase::boil: return "boil";
    case Phase::chill: return "chill";
    case Phase::ferment: return "ferment";
    case Phase::infuse: return "infuse";
    case Phase::package: return "package";
  }
  return "";
}

std::vector<SheetLine> run_sheet(const compose::Brief& brief, const compose::Proposal& proposal) {
  return Sheet(brief, proposal).lines();
}

std::vector<std::string> line_names(const std::vector<SheetLine>& lines) {
  std::vector<std::string> names;
  for (const SheetLine& line : lines) {
    std::string action = line.action.substr(0, line.action.find_first_of("0123456789"));
    const std::size_t last = action.find_last_not_of(" ,.:;");
    action.resize(last == std::string::npos ? 0 : last + 1);
    const std::string name = std::string(phase_name(line.phase)) + ": " + action;
    std::string unlike = name;
    for (int n = 2; std::find(names.begin(), names.end(), unlike) != names.end(); ++n)
      unlike = name + " (" + std::to_string(n) + ")";
    names.push_back(std::move(unlike));
  }
  return names;
}

}  // namespace oddgrist::present
