#include "science/water_report.hpp"

#include <algorithm>
#include <array>
#include <cmath>

#include "science/carbonate.hpp"

namespace oddgrist::science {
namespace {

constexpr double most_mg_per_l = 20000.0;
constexpr double acceptable_percent = 5.0, acceptable_meq_per_l = 0.2;

// One ion of a water, how many mg (or mEq) make an equivalent, and its sign.
struct IonTraits {
  WaterIon ion;
  double WaterIons<double>::*place;
  double per_meq;
  double sign;
};
constexpr std::array<IonTraits, 8> ion_traits{{
    {WaterIon::calcium, &WaterIons<double>::calcium_mg_per_l, calcium_mg_per_meq, 1.0},
    {WaterIon::magnesium, &WaterIons<double>::magnesium_mg_per_l, magnesium_mg_per_meq, 1.0},
    {WaterIon::sodium, &WaterIons<double>::sodium_mg_per_l, sodium_mg_per_meq, 1.0},
    {WaterIon::potassium, &WaterIons<double>::potassium_mg_per_l, potassium_mg_per_meq, 1.0},
    {WaterIon::chloride, &WaterIons<double>::chloride_mg_per_l, chloride_mg_per_meq, -1.0},
    {WaterIon::sulphate, &WaterIons<double>::sulphate_mg_per_l, sulphate_mg_per_meq, -1.0},
    {WaterIon::nitrate, &WaterIons<double>::nitrate_mg_per_l, nitrate_mg_per_meq, -1.0},
    {WaterIon::alkalinity, &WaterIons<double>::alkalinity_meq_per_l, 1.0, -1.0},
}};

const IonTraits& traits_of(WaterIon ion) { return ion_traits[static_cast<std::size_t>(ion)]; }

// A slip that a fixed factor undoes.
struct FactorSlip {
  WaterIon ion;
  ReportSlip slip;
  double factor;
};
constexpr std::array<FactorSlip, 6> factor_slips{{
    {WaterIon::sulphate, ReportSlip::sulphate_as_sulphur, 2.0 * sulphate_mg_per_meq / molar_mass_g_per_mol({.s = 1})},
    {WaterIon::nitrate, ReportSlip::nitrate_as_nitrogen, nitrate_mg_per_meq / molar_mass_g_per_mol({.n = 1})},
    {WaterIon::alkalinity, ReportSlip::alkalinity_as_calcium_carbonate,
     bicarbonate_mg_per_meq / calcium_carbonate_mg_per_meq},
    {WaterIon::alkalinity, ReportSlip::bicarbonate_as_calcium_carbonate,
     calcium_carbonate_mg_per_meq / bicarbonate_mg_per_meq},
    {WaterIon::calcium, ReportSlip::calcium_as_calcium_carbonate, calcium_mg_per_meq / calcium_carbonate_mg_per_meq},
    {WaterIon::magnesium, ReportSlip::magnesium_as_calcium_carbonate,
     magnesium_mg_per_meq / calcium_carbonate_mg_per_meq},
}};

void try_correction(const WaterIons<double>& water, WaterIon ion, ReportSlip slip, double corrected,
                    std::vector<WaterSuspect>& suspects) {
  const IonTraits& traits = traits_of(ion);
  const double reported = water.*traits.place;
  if (!(corrected >= 0.0) || corrected == reported) return;
  WaterIons<double> changed = water;
  changed.*traits.place = corrected;
  const ChargeBalance after = water_charge_balance(changed);
  if (after.acceptable) suspects.push_back({ion, slip, reported, corrected, after.error_percent});
}

std::vector<WaterSuspect> suspects_of(const WaterIons<double>& water) {
  const ChargeBalance balance = water_charge_balance(water);
  std::vector<WaterSuspect> slips, others;
  for (const FactorSlip& slip : factor_slips) {
    try_correction(water, slip.ion, slip.slip, water.*traits_of(slip.ion).place * slip.factor, slips);
  }
  const double hardness_meq = water.calcium_mg_per_l / calcium_carbonate_mg_per_meq;
  const double calcium_meq = hardness_meq - water.magnesium_mg_per_l / magnesium_mg_per_meq;
  if (water.magnesium_mg_per_l > 0.0) {
    try_correction(water, WaterIon::calcium, ReportSlip::total_hardness_as_calcium, calcium_meq * calcium_mg_per_meq,
                   slips);
  }
  const double excess = balance.cations_meq_per_l - balance.anions_meq_per_l;
  for (const IonTraits& traits : ion_traits) {
    const double corrected = water.*traits.place - traits.sign * excess * traits.per_meq;
    try_correction(water, traits.ion, ReportSlip::other, corrected, others);
  }
  const auto by_error = [](const WaterSuspect& a, const WaterSuspect& b) {
    return std::abs(a.error_percent_after) < std::abs(b.error_percent_after);
  };
  const auto relative_change = [](const WaterSuspect& s) {
    return std::abs(s.corrected - s.reported) / std::max({s.reported, s.corrected, 1e-12});
  };
  const auto by_change = [&](const WaterSuspect& a, const WaterSuspect& b) {
    return relative_change(a) < relative_change(b);
  };
  std::stable_sort(slips.begin(), slips.end(), by_error);
  std::stable_sort(others.begin(), others.end(), by_change);
  slips.insert(slips.end(), others.begin(), others.end());
  return slips;
}

const char* fault_in(const WaterReport& report) {
  constexpr Range ion_range{0.0, most_mg_per_l};
  for (const auto& ion :
       {report.calcium_mg_per_l, report.magnesium_mg_per_l, report.sodium_mg_per_l, report.potassium_mg_per_l,
        report.chloride_mg_per_l, report.sulphate_mg_per_l, report.nitrate_mg_per_l, report.bicarbonate_mg_per_l}) {
    if (ion && !ion_range.holds(*ion)) return "an ion is negative or above 20 g/L";
  }
  constexpr Range meq_range{0.0, 500.0};
  for (const auto& hardness : {report.alkalinity, report.hardness}) {
    if (hardness && !meq_range.holds(hardness->value * meq_per_l_per_unit(hardness->unit)))
      return "hardness or alkalinity is outside 0..500 mEq/L";
  }
  if (report.hardness && report.hardness->unit == HardnessUnit::bicarbonate_mg_per_l)
    return "hardness can't be stated as bicarbonate";
  if (report.bicarbonate_mg_per_l && report.alkalinity)
    return "bicarbonate and alkalinity are both given; one is enough";
  if (report.ph && !carbonate_range_ph.holds(*report.ph)) return "pH is outside 2..12.5";
  if (!carbonate_range_c.holds(report.temperature_c)) return "temperature is outside 0..90 C";
  return nullptr;
}

// Copies an ion over, or notes that it is missing.
void take(const std::optional<double>& value, WaterIon ion, WaterReading& reading) {
  if (value) {
    reading.ions.*traits_of(ion).place = *value;
  } else {
    reading.missing.push_back(ion);
  }
}

// Calcium and magnesium, one of which may have to come from the hardness. A fault's text, or nothing.
const char* take_hardness(const WaterReport& report, WaterReading& reading) {
  std::optional<double> calcium = report.calcium_mg_per_l, magnesium = report.magnesium_mg_per_l;
  if (report.hardness) {
    const double hardness_meq = report.hardness->value * meq_per_l_per_unit(report.hardness->unit);
    const double known_meq =
        calcium.value_or(0.0) / calcium_mg_per_meq + magnesium.value_or(0.0) / magnesium_mg_per_meq;
    const double rest_meq = hardness_meq - known_meq;
    // Printed hardness is rounded: allow it 5 % and 0.1 mEq/L before calling it impossible.
    if (rest_meq < -0.05 * known_meq - 0.1) return "hardness is less than the calcium and magnesium it should contain";
    const double left_meq = std::max(rest_meq, 0.0);
    if (calcium && !magnesium) {
      magnesium = left_meq * magnesium_mg_per_meq;
      reading.filled_in.push_back(WaterIon::magnesium);
    } else if (magnesium && !calcium) {
      calcium = left_meq * calcium_mg_per_meq;
      reading.filled_in.push_back(WaterIon::calcium);
    }
  }
  take(calcium, WaterIon::calcium, reading);
  take(magnesium, WaterIon::magnesium, reading);
  return nullptr;
}

// Alkalinity and bicarbonate from whichever was given. With a pH the carbonate and hydroxide share is worked out;
// without, all of it counts as bicarbonate, which is within 3 % from pH 6.5 to 8.5.
const char* take_alkalinity(const WaterReport& report, WaterReading& reading) {
  if (!report.alkalinity && !report.bicarbonate_mg_per_l) {
    reading.missing.push_back(WaterIon::alkalinity);
    return nullptr;
  }
  const auto constants = report.ph ? carbonate_constants(report.temperature_c, 0.0) : std::nullopt;
  if (report.alkalinity) {
    const double meq = report.alkalinity->value * meq_per_l_per_unit(report.alkalinity->unit);
    reading.ions.alkalinity_meq_per_l = meq;
    reading.bicarbonate_mg_per_l = meq * bicarbonate_mg_per_meq;
    if (constants) {
      const auto total = carbonate_total_mol_per_l(meq * 1e-3, *report.ph, *constants);
      if (!total) return "the alkalinity is too small for the pH";
      reading.bicarbonate_mg_per_l =
          *total * 1e3 * bicarbonate_fraction(*report.ph, *constants) * bicarbonate_mg_per_meq;
    }
    return nullptr;
  }
  const double mmol = *report.bicarbonate_mg_per_l / bicarbonate_mg_per_meq;
  reading.bicarbonate_mg_per_l = *report.bicarbonate_mg_per_l;
  reading.ions.alkalinity_meq_per_l = mmol;
  if (constants) {
    const double total_mol_per_l = mmol * 1e-3 / bicarbonate_fraction(*report.ph, *constants);
    reading.ions.alkalinity_meq_per_l =
        std::max(0.0, 1e3 * carbonate_alkalinity_eq_per_l(total_mol_per_l, *report.ph, *constants));
  }
  return nullptr;
}

}  // namespace

ChargeBalance water_charge_balance(const WaterIons<double>& water) {
  ChargeBalance balance;
  for (const IonTraits& traits : ion_traits) {
    const double meq = water.*traits.place / traits.per_meq;
    (traits.sign > 0.0 ? balance.cations_meq_per_l : balance.anions_meq_per_l) += meq;
  }
  const double sum = balance.cations_meq_per_l + balance.anions_meq_per_l;
  const double excess = balance.cations_meq_per_l - balance.anions_meq_per_l;
  balance.error_percent = sum > 0.0 ? 100.0 * excess / sum : 0.0;
  const double off_percent = std::abs(balance.error_percent), off_meq = std::abs(excess);
  balance.acceptable = off_percent <= acceptable_percent || off_meq <= acceptable_meq_per_l;
  const double anions = balance.anions_meq_per_l;
  balance.within_laboratory_limit = anions <= 3.0 ? off_meq <= 0.2 : off_percent <= (anions <= 10.0 ? 2.0 : 5.0);
  return balance;
}

WaterVerdict read_water_report(const WaterReport& report) {
  if (const char* fault = fault_in(report)) return {std::nullopt, fault};
  WaterReading reading;
  if (const char* fault = take_hardness(report, reading)) return {std::nullopt, fault};
  take(report.sodium_mg_per_l, WaterIon::sodium, reading);
  take(report.potassium_mg_per_l, WaterIon::potassium, reading);
  take(report.chloride_mg_per_l, WaterIon::chloride, reading);
  take(report.sulphate_mg_per_l, WaterIon::sulphate, reading);
  take(report.nitrate_mg_per_l, WaterIon::nitrate, reading);
  if (const char* fault = take_alkalinity(report, reading)) return {std::nullopt, fault};
  reading.balance = water_charge_balance(reading.ions);
  const bool whole = std::all_of(reading.missing.begin(), reading.missing.end(),
                                 [](WaterIon ion) { return ion == WaterIon::potassium || ion == WaterIon::nitrate; });
  if (whole && !reading.balance.acceptable) reading.suspects = suspects_of(reading.ions);
  return {std::move(reading), ""};
}

std::span<const WaterCeiling> water_ceilings() {
  static constexpr const char* who = "WHO, Guidelines for drinking-water quality, 4th ed. with addenda (2022)";
  static constexpr std::array<WaterCeiling, 5> ceilings{{
      {WaterIon::nitrate, CeilingKind::health, 50.0, "as NO3; infants", who},
      {WaterIon::sodium, CeilingKind::taste, 200.0, "salty", who},
      {WaterIon::chloride, CeilingKind::taste, 250.0, "salty, harsh", who},
      {WaterIon::sulphate, CeilingKind::taste, 250.0, "bitter; laxative above 500", who},
      {WaterIon::magnesium, CeilingKind::taste, 80.0, "bitter, laxative with sulphate", "common practice, no source"},
  }};
  return ceilings;
}

std::vector<WaterCeiling> water_ceilings_exceeded(const WaterIons<double>& water) {
  std::vector<WaterCeiling> exceeded;
  for (const WaterCeiling& ceiling : water_ceilings()) {
    if (water.*traits_of(ceiling.ion).place > ceiling.mg_per_l) exceeded.push_back(ceiling);
  }
  return exceeded;
}

}  // namespace oddgrist::science
