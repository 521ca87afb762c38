#include "compose/way_of.hpp"

#include <algorithm>

#include "science/attenuation.hpp"

namespace oddgrist::compose {
namespace {

using larder::Component;
using process::Mashing;
using process::Way;

constexpr double least_water_l = 0.02;  // nobody measures less
constexpr double part_of_the_extract =
    0.2;  // from here on malt extract is no mere helping hand; common practice, no source
constexpr double least_converted = 0.25;  // of the starch: below that nobody would call it a mash

Mashing mashing_of(const Brief& brief, const process::Mixture<double>& grist) {
  if (!(process::total_mass_kg(grist) > 0.0)) return Mashing::none;
  const double starch = grist[Component::starch];
  const double power = starch > 0.0 ? grist.diastatic_wk_kg / starch * science::starch_of_ordinary_malt : 0.0;
  if (science::enzyme_conversion_share(power) < least_converted) return Mashing::steep;
  return brief.kit.mash_method == process::MashMethod::sparged ? Mashing::sparge : Mashing::bag;
}

double malt_extract_kg(const Brief& brief, const Proposal& proposal) {
  double kg = 0.0;
  for (const Addition& addition : proposal.additions) {
    for (const auto* list : {&brief.given, &brief.have}) {
      const auto is_it = [&](const Supply& supply) {
        return supply.ingredient.id == addition.ingredient_id && process::is_malt_extract(supply.ingredient);
      };
      if ((list == &brief.given) == addition.given && std::any_of(list->begin(), list->end(), is_it))
        kg += addition.amount.in(kilogram);
    }
  }
  return kg;
}

Way material_of(Mashing mashing, double malt_extract, const process::Mixture<double>& grist) {
  switch (mashing) {
    case Mashing::none: return malt_extract > 0.0 ? Way::extract : Way::no_malt;
    case Mashing::steep: return Way::steep;
    case Mashing::bag:
    case Mashing::sparge: break;
  }
  const double from_grain = grist[Component::starch] + process::extract_kg(grist);
  if (malt_extract > part_of_the_extract * (malt_extract + from_grain)) return Way::part_mash;
  return mashing == Mashing::sparge ? Way::sparge : Way::bag;
}

}  // namespace

WayTaken way_of(const Brief& brief, const Proposal& proposal) {
  WayTaken taken;
  taken.mashing = mashing_of(brief, proposal.charge.grist);
  taken.boiled = brief.kit.boils();
  taken.way = material_of(taken.mashing, malt_extract_kg(brief, proposal), proposal.charge.grist);
  const bool mashed = taken.mashing == Mashing::bag || taken.mashing == Mashing::sparge;
  if (proposal.forecast.fermenter_water_l >= least_water_l) taken.way = mashed ? Way::diluted : Way::part_boil;
  if (!taken.boiled) taken.way = Way::no_boil;
  return taken;
}

}  // namespace oddgrist::compose
