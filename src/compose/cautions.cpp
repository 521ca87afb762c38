#include "compose/cautions.hpp"

#include <algorithm>
#include <set>

#include <fmt/format.h>

#include "compose/restraint.hpp"
#include "larder/allergen_names.hpp"
#include "larder/catalogue.hpp"
#include "larder/hazards.hpp"
#include "science/water_report.hpp"

namespace oddgrist::compose {
namespace {

constexpr const char* practice = "common practice, no source";
constexpr const char* memory = "from memory";

Severity severity_of(larder::HazardSeverity severity) {
  switch (severity) {
    case larder::HazardSeverity::refuse: return Severity::refuse;
    case larder::HazardSeverity::danger: return Severity::danger;
    case larder::HazardSeverity::caution: return Severity::caution;
  }
  return Severity::caution;
}

void add(std::vector<Caution>& cautions, Severity severity, std::string text, std::string source) {
  const auto same = [&](const Caution& caution) { return caution.text == text; };
  if (std::none_of(cautions.begin(), cautions.end(), same))
    cautions.push_back({severity, std::move(text), std::move(source)});
}

// A dose above a limit of safety is no recipe, however well it keeps the wishes; one above a limit of labelling is only told.
bool unsafe_dose(const larder::Hazard& hazard) {
  return hazard.over_limit && hazard.severity >= larder::HazardSeverity::danger;
}

// By what it is and by what else it is called: the brief's "raw milk" may have been found as milk.
std::vector<larder::Hazard> hazards_of(const Supply& supply, double kg, double litres) {
  std::vector<larder::Hazard> hazards = larder::hazards_in(supply.ingredient, kg, litres);
  for (const std::string& name : supply.ingredient.also_called) {
    larder::Ingredient called;
    called.name = name;
    for (larder::Hazard& hazard : larder::hazards_in(called, kg, litres)) {
      const auto same = [&](const larder::Hazard& known) { return known.id == hazard.id; };
      if (std::none_of(hazards.begin(), hazards.end(), same)) hazards.push_back(std::move(hazard));
    }
  }
  return hazards;
}

std::string at_most_in_batch(const larder::Ingredient& ingredient, double litres) {
  const auto safe = larder::hazard_table().safe_dose(ingredient);
  return safe ? fmt::format(" In this batch that is at most {:.2g} g.", safe->most_g_per_l * litres) : std::string();
}

// More than the catalogue says is safe.
void add_dose(std::vector<Caution>& cautions, const larder::Ingredient& ingredient, double kg, double litres) {
  if (!ingredient.dose || !(litres > 0.0)) return;
  const double g_per_l = 1000.0 * kg / litres;
  if (larder::judge_dose(*ingredient.dose, g_per_l) != larder::DoseVerdict::unsafe) return;
  add(cautions, Severity::refuse,
      fmt::format("{}: {}. Here it is {:.3g} g/L; keep to {:.3g} g/L at most.{}", ingredient.name,
                  ingredient.dose->harm, g_per_l, *ingredient.dose->most_by_safety_g_per_l,
                  at_most_in_batch(ingredient, litres)),
      ingredient.dose->safety_source);
}

void add_hazard(std::vector<Caution>& cautions, const Supply& supply, const larder::Hazard& hazard, double litres) {
  const bool unsafe = unsafe_dose(hazard);
  std::string text = fmt::format("{}: {}", supply.ingredient.name, hazard.text);
  if (unsafe) text += at_most_in_batch(supply.ingredient, litres);
  if (!hazard.instead.empty()) text += " Instead: " + hazard.instead;
  add(cautions, unsafe ? Severity::refuse : severity_of(hazard.severity), text, hazard.source);
}

double batch_l(const Brief& brief) {
  for (const Wish& wish : brief.wishes) {
    if (wish.measure == Measure::volume) return 0.5 * (wish.low + wish.high);
  }
  return 0.0;
}

const Supply* supply_of(const Brief& brief, const std::string& id) {
  for (const auto* list : {&brief.given, &brief.have}) {
    for (const Supply& supply : *list) {
      if (supply.ingredient.id == id) return &supply;
    }
  }
  return nullptr;
}

double kg_used(const Proposal& proposal, const std::string& id) {
  double sum = 0.0;
  for (const Addition& addition : proposal.additions) {
    if (addition.ingredient_id == id) sum += addition.amount.in(kilogram);
  }
  return sum;
}

void allergens(std::vector<Caution>& cautions, const std::vector<const larder::Ingredient*>& used) {
  std::set<std::string> names;
  for (const larder::Ingredient* ingredient : used) {
    for (larder::Allergen allergen : ingredient->allergens) names.insert(std::string(larder::words_for(allergen)));
  }
  if (names.empty()) return;
  std::string list;
  for (const std::string& name : names) list += (list.empty() ? "" : ", ") + name;
  add(cautions, Severity::caution,
      fmt::format("Allergens to tell everyone who is handed a bottle: {}. Read every packet for traces as well.", list),
      "Regulation (EU) No 1169/2011, Annex II");
}

// Sorbate and benzoate hold yeast back at 100 to 250 mg/L and more in sour beer; sulphite from about 50 mg/L (from memory).
void preservatives(std::vector<Caution>& cautions, const Proposal& proposal, const larder::Ingredient& ingredient,
                   double litres) {
  const double kg = kg_used(proposal, ingredient.id);
  const std::pair<const char*, double> levels[] = {{"sorbate", ingredient.sorbate_mg_per_kg},
                                                   {"benzoate", ingredient.benzoate_mg_per_kg},
                                                   {"sulphite", ingredient.sulphite_mg_per_kg}};
  for (const auto& [name, mg_per_kg] : levels) {
    if (mg_per_kg <= 0.0 || kg <= 0.0 || litres <= 0.0) continue;
    const double mg_per_l = mg_per_kg * kg / litres;
    const bool much = mg_per_l >= 50.0;
    add(cautions, much ? Severity::danger : Severity::note,
        fmt::format("{} declares {}: up to about {:.0f} mg/L in the beer. {}", ingredient.name, name, mg_per_l,
                    much ? "That can stop the yeast: use less, or add it only after fermentation, and then do not "
                           "bottle with sugar."
                         : "Too little to stop a healthy pitch of yeast."),
        memory);
  }
}

// The treated liquor against drinking-water and taste ceilings, and against what can dissolve at all.
void water(std::vector<Caution>& cautions, const Brief& brief, const Proposal& proposal) {
  const auto& forecast = proposal.forecast;
  if (brief.waters.empty()) {
    add(cautions, Severity::note,
        "No water report in the brief: mash pH and ions are reckoned as if the water were distilled.", "the brief");
  }
  science::WaterIons<double> liquor;
  liquor.calcium_mg_per_l = forecast.liquor_ions_mg_per_l[0];
  liquor.magnesium_mg_per_l = forecast.liquor_ions_mg_per_l[1];
  liquor.sodium_mg_per_l = forecast.liquor_ions_mg_per_l[2];
  liquor.chloride_mg_per_l = forecast.liquor_ions_mg_per_l[3];
  liquor.sulphate_mg_per_l = forecast.liquor_ions_mg_per_l[4];
  liquor.alkalinity_meq_per_l = std::max(0.0, forecast.liquor_alkalinity_meq_per_l);
  for (const science::WaterCeiling& ceiling : science::water_ceilings_exceeded(liquor)) {
    add(cautions, Severity::caution,
        fmt::format("Brewing water: {} would be above {:.0f} mg/L: {}.", science::water_ion_word(ceiling.ion),
                    ceiling.mg_per_l, ceiling.reason),
        std::string(ceiling.source));
  }
  constexpr double gypsum_g_per_l = science::salt_traits(science::WaterSalt::gypsum).solubility_g_per_l;
  for (const Addition& addition : proposal.additions) {
    if (addition.ingredient_id == "gypsum" &&
        addition.amount.in(gram) > gypsum_g_per_l * std::max(0.1, forecast.mash_liquor_l)) {
      add(cautions, Severity::caution,
          "Gypsum: more than the mash water can dissolve; stir some into the kettle instead.",
          "solubility 2.4 g/L, CRC Handbook of Chemistry and Physics (from memory)");
    }
  }
}

// Steeping: germs where it is wet, warm and fat; fire where it is spirit.
void infusions(std::vector<Caution>& cautions, const Proposal& proposal) {
  const auto steeped = [](const Addition& addition) { return addition.route == Route::infusion; };
  if (std::none_of(proposal.additions.begin(), proposal.additions.end(), steeped)) return;
  const process::Steeping& steeping = proposal.charge.steeping;
  if (steeping.in_spirit()) {
    add(cautions, Severity::danger,
        fmt::format("Fire: spirit of {:.0f} % vol gives off vapour that catches from a flame, a hob or a cigarette "
                    "across the table. "
                    "Steep and strain it cold, away from all of them, never beside the boiling kettle.",
                    100.0 * steeping.liquor_alcohol_volume_fraction),
        "flash point of 40 % vol spirit about 26 °C, from memory");
    add(cautions, Severity::caution,
        "Use spirit bought as a drink, tax paid. Post and air mail class liquids above 24 % vol as flammable: never "
        "post the spirit or the "
        "infusion, and a bottle of beer only where the carrier takes alcohol.",
        "UN 3065 and IATA Dangerous Goods Regulations, from memory; local law");
    return;
  }
  const auto& food = proposal.charge.infused_food;
  const bool fat = food[larder::Component::fat] > 0.05 * process::total_mass_kg(food);
  for (const larder::HazardRule& rule : larder::hazard_table().rules()) {
    if (rule.hazard.id != "botulism-oil") continue;
    add(cautions, fat ? Severity::danger : Severity::caution,
        fmt::format("Infusion in water: no acid{}, so kept warm it can grow botulinum toxin, without smell or taste. "
                    "Boiling water on it, in "
                    "the fridge within 2 hours, into the beer next day; otherwise throw it away.",
                    fat ? " and fat that shuts out the air" : ""),
        rule.hazard.source);
  }
}

void restraint(std::vector<Caution>& cautions, const Brief& brief, const Proposal& proposal) {
  for (const Oddment& oddment : oddments_of(brief, proposal)) {
    const std::string words = restraint_words(oddment);
    if (words.empty()) continue;
    std::string source;
    for (const Carried& carried : oddment.carried) {
      if (source.find(carried.source) == std::string::npos) source += (source.empty() ? "" : "; ") + carried.source;
    }
    add(cautions, Severity::note, words, source);
  }
}

// Alcohol, warmth and dextrins the yeast may not agree with.
void yeast_at_work(std::vector<Caution>& cautions, const Brief& brief, const Proposal& proposal) {
  if (!proposal.yeast.yeast) return;
  const auto& yeast = *proposal.yeast.yeast;
  if (proposal.abv_percent.value > yeast.tolerance_abv_percent) {
    add(cautions, Severity::caution,
        fmt::format("{} is at its limit near {:.0f} % alcohol; this beer would reach {:.1f} %. It may stop sweet, "
                    "then start again in the bottle.",
                    proposal.yeast.name, yeast.tolerance_abv_percent, proposal.abv_percent.value),
        memory);
  }
  const double ferment_at = brief.ferment_at.in(celsius);
  if (ferment_at < yeast.temperature_low_c || ferment_at > yeast.temperature_high_c) {
    add(cautions, Severity::caution,
        fmt::format("{} works best between {:.0f} and {:.0f} °C; the brief ferments at {:.0f} °C.", proposal.yeast.name,
                    yeast.temperature_low_c, yeast.temperature_high_c, ferment_at),
        memory);
  }
  if (yeast.dextrin_uptake > 0.0) {
    add(cautions, Severity::danger,
        "This yeast eats dextrins slowly for weeks: bottles filled early can burst. Wait for a month of steady "
        "gravity.",
        memory);
  }
}

void unknown(std::vector<Caution>& cautions, const Brief& brief, const Proposal& proposal) {
  for (const std::string& name : unknown_foods(brief, proposal)) {
    add(cautions, Severity::caution,
        fmt::format("{}: not known here: nothing was checked but the words on its packet. Be sure yourself that it is "
                    "food, and that people eat as much of it as a glass will hold.",
                    name),
        "the tables of this program");
  }
}

void fat(std::vector<Caution>& cautions, const Proposal& proposal) {
  if (!(proposal.forecast.fat_mg_per_l > 1.0)) return;
  add(cautions, Severity::caution,
      fmt::format("Fat: about {:.0f} mg/L may reach the beer (order of magnitude). From about 1 mg/L foam suffers, "
                  "and fat turns rancid: "
                  "skim cold and thoroughly, use less, drink fresh.",
                  proposal.forecast.fat_mg_per_l),
      "Wilde et al., Destabilization of beer foam by lipids, J. ASBC 61 (2003); amounts from memory");
}

void true_of_every_brew(std::vector<Caution>& cautions, const Brief& brief, const Proposal& proposal) {
  add(cautions, Severity::danger,
      fmt::format("Scald: up to {:.1f} L of liquid near boiling. Water and wort above 60 °C burn in seconds. Do not "
                  "lift or carry the full "
                  "kettle; keep children and pets out; leave headspace and watch the first minutes of the boil.",
                  std::max(proposal.forecast.pre_boil_volume_hot_l, proposal.forecast.mash_volume_hot_l)),
      practice);
  add(cautions, Severity::danger,
      fmt::format(
          "Pressure: bottle only after two equal gravity readings 3 days apart near {:.3f}, in bottles rated for "
          "{:.1f} volumes; "
          "sugar that is still fermenting makes bottles burst. Keep one plastic bottle of the batch as a tell-tale.",
          proposal.final_gravity_sg.value, brief.carbonation_volumes),
      practice);
  add(cautions, Severity::caution,
      "Carbon dioxide from fermentation is heavier than air and gathers low: keep the room aired, never seal the "
      "fermenter.",
      practice);
  add(cautions, Severity::note,
      "Beer given away or sent falls under the law of both places and the carrier's rules; many carriers refuse "
      "alcohol. Not for minors.",
      "local law; general words only");
}

void gravest_first(std::vector<Caution>& cautions) {
  std::stable_sort(cautions.begin(), cautions.end(),
                   [](const Caution& a, const Caution& b) { return a.severity > b.severity; });
}

}  // namespace

std::vector<std::string> unknown_foods(const Brief& brief, const Proposal& proposal) {
  std::vector<std::string> names;
  for (const Addition& addition : proposal.additions) {
    const Supply* supply = supply_of(brief, addition.ingredient_id);
    if (supply == nullptr || supply->ingredient.kind != larder::IngredientKind::food) continue;
    const std::string& name = supply->ingredient.name;
    const bool told = std::find(names.begin(), names.end(), name) != names.end();
    if (!told && larder::catalogue().find(name) == nullptr) names.push_back(name);
  }
  return names;
}

bool refuses(const std::vector<Caution>& cautions) {
  return std::any_of(cautions.begin(), cautions.end(),
                     [](const Caution& caution) { return caution.severity == Severity::refuse; });
}

std::vector<Caution> cautions_of_ingredients(const Brief& brief) {
  std::vector<Caution> cautions;
  const double litres = batch_l(brief);
  for (const auto* list : {&brief.given, &brief.have}) {
    for (const Supply& supply : *list) {
      const double least_kg = supply.must ? supply.must->low.in(kilogram) : 0.0;
      for (const larder::Hazard& hazard : hazards_of(supply, least_kg, litres)) {
        if (hazard.severity == larder::HazardSeverity::refuse || unsafe_dose(hazard))
          add_hazard(cautions, supply, hazard, litres);
      }
      add_dose(cautions, supply.ingredient, least_kg, litres);
    }
  }
  return cautions;
}

std::vector<Caution> cautions_of_proposal(const Brief& brief, const Proposal& proposal) {
  std::vector<Caution> special, standing;
  const double litres = batch_l(brief);
  std::vector<const larder::Ingredient*> used;
  for (const Addition& addition : proposal.additions) {
    const Supply* supply = supply_of(brief, addition.ingredient_id);
    if (supply == nullptr || std::find(used.begin(), used.end(), &supply->ingredient) != used.end()) continue;
    used.push_back(&supply->ingredient);
    const double kg = kg_used(proposal, addition.ingredient_id);
    for (const larder::Hazard& hazard : hazards_of(*supply, kg, litres))
      add_hazard(hazard.standing ? standing : special, *supply, hazard, litres);
    add_dose(special, supply->ingredient, kg, litres);
    preservatives(special, proposal, supply->ingredient, litres);
  }
  unknown(special, brief, proposal);
  allergens(special, used);
  infusions(special, proposal);
  restraint(special, brief, proposal);
  water(special, brief, proposal);
  fat(special, proposal);
  yeast_at_work(special, brief, proposal);
  for (const std::string& sentence : proposal.forecast.impossible) {
    add(special, Severity::danger, "This plan cannot work in this kit: " + sentence + ".", "the forecast's own limits");
  }
  true_of_every_brew(standing, brief, proposal);
  gravest_first(special);
  gravest_first(standing);
  special.insert(special.end(), standing.begin(), standing.end());
  return special;
}

}  // namespace oddgrist::compose
