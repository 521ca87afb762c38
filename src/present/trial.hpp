// A bench trial: doses of an infusion in glasses of the beer, tasted blind, and what the dose that is liked means for the batch.
#pragma once

#include <cstdint>
#include <optional>
#include <string>
#include <vector>

#include "compose/proposal.hpp"
#include "process/mixture.hpp"
#include "process/plan.hpp"
#include "science/bottle_pressure.hpp"

namespace oddgrist::present {

inline constexpr std::size_t most_trial_doses = 12;

struct TrialPlan {
  process::Mixture<double> beer;    // fermented and flat, as it will be dosed; its amount is the batch
  process::Mixture<double> liquor;  // some of what is dosed; only what it is made of counts
  process::Ferment ferment;         // what yeast is in the beer, for the sugar of the dose
  double glass_l = 0.1;             // of beer in a glass, the dose comes on top
  std::vector<double> doses_l;      // in a glass, without the control
  double carbonation_volumes = 2.4;
  std::uint64_t seed = 1;  // the same number gives the same order
  // The food behind a litre of the liquor, if a brief says so: 0 is not known.
  double food_kg_per_l = 0.0;
  std::string food;
};

// One glass and the batch dosed like it. Volumes at 20 C.
struct TrialGlass {
  char letter = 'A';
  double dose_l = 0.0;  // 0: the control
  double batch_dose_l = 0.0;
  double batch_dose_kg = 0.0;
  double food_kg = 0.0;                         // to steep for the batch, 0: not known
  double gravity_sg = 1.0, gravity_rise = 0.0;  // just dosed
  double abv_percent = 0.0, abv_rise = 0.0;     // just dosed
  double sugar_g_per_l = 0.0;                   // of the dose, what the yeast can still ferment
  double later_volumes = 0.0;                   // carbon dioxide of that, if it ferments in the closed bottle
  double fat_mg_per_l = 0.0;
  double bottle_gauge_bar = 0.0;                                   // primed as planned and that on top, at the warmest
  science::BottleVerdict verdict = science::BottleVerdict::sound;  // of a one-way beer bottle
};

struct Trial {
  std::vector<TrialGlass> glasses;  // by dose, the control first
  std::string letters;              // in the order of pouring: A B C ...
};

inline constexpr double trial_bottle_c = 30.0;  // as warm as a bottle gets

// The beer of a proposal as it is before the dose, and the liquor its plan would dose; returned is its share of the beer by volume. None: no
// infusion is dosed.
[[nodiscard]] std::optional<double> take_proposal(const compose::Brief& brief, const compose::Proposal& proposal,
                                                  TrialPlan& plan);

// No glasses if the plan is not sound: no beer, no liquor, a dose that is not above 0, too many doses.
[[nodiscard]] Trial trial_of(const TrialPlan& plan);

// Five doses in equal ratios, from 0.25 % to 4 % of the glass; where a brief plans a dose, from an eighth of that to twice as much.
[[nodiscard]] std::vector<double> usual_doses_l(double glass_l, std::optional<double> planned_share);

// The glass of the middle pick when they are sorted by dose; of two middle ones the smaller. Null without picks or for an unknown letter.
[[nodiscard]] const TrialGlass* picked_glass(const Trial& trial, const std::string& picks);

// Liquid of this strength (a fraction by volume at 20 C) and sugar; a litre of it. None if so much does not fit into a litre.
[[nodiscard]] std::optional<process::Mixture<double>> sweet_liquor(double alcohol_volume_fraction,
                                                                   double sucrose_kg_per_l);

// A litre of beer that reads so; its extract is taken as dextrin. None if no beer reads so.
[[nodiscard]] std::optional<process::Mixture<double>> beer_that_reads(double alcohol_volume_fraction,
                                                                      double gravity_sg);

// The taster's page; after a page break, what the one who pours must know; and the batch dose if there are picks.
[[nodiscard]] std::string trial_text(const TrialPlan& plan, const Trial& trial, const std::string& picks,
                                     bool us_units_first);

}  // namespace oddgrist::present
