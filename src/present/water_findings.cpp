#include "present/water_findings.hpp"

#include <algorithm>

namespace oddgrist::present {
namespace {

using science::WaterIon;
using science::WaterIons;

struct IonPlace {
  WaterIon ion;
  const char* name;
  double WaterIons<double>::*place;
  double mg_per_meq;
};
constexpr std::array<IonPlace, 7> ion_places{{
    {WaterIon::calcium, "calcium", &WaterIons<double>::calcium_mg_per_l, science::calcium_mg_per_meq},
    {WaterIon::magnesium, "magnesium", &WaterIons<double>::magnesium_mg_per_l, science::magnesium_mg_per_meq},
    {WaterIon::sodium, "sodium", &WaterIons<double>::sodium_mg_per_l, science::sodium_mg_per_meq},
    {WaterIon::potassium, "potassium", &WaterIons<double>::potassium_mg_per_l, science::potassium_mg_per_meq},
    {WaterIon::chloride, "chloride", &WaterIons<double>::chloride_mg_per_l, science::chloride_mg_per_meq},
    {WaterIon::sulphate, "sulphate", &WaterIons<double>::sulphate_mg_per_l, science::sulphate_mg_per_meq},
    {WaterIon::nitrate, "nitrate", &WaterIons<double>::nitrate_mg_per_l, science::nitrate_mg_per_meq},
}};

bool holds(const std::vector<WaterIon>& list, WaterIon ion) {
  return std::find(list.begin(), list.end(), ion) != list.end();
}

std::vector<IonLine> ion_lines(const WaterToRead& water) {
  const science::WaterReading& reading = water.reading;
  std::vector<IonLine> lines;
  for (const IonPlace& each : ion_places) {
    const double mg_per_l = reading.ions.*each.place;
    lines.push_back({each.name, mg_per_l, mg_per_l / each.mg_per_meq, !holds(reading.missing, each.ion),
                     holds(reading.filled_in, each.ion)});
  }
  const double bicarbonate = reading.bicarbonate_mg_per_l;
  lines.push_back({"bicarbonate", bicarbonate, bicarbonate / science::bicarbonate_mg_per_meq,
                   !holds(reading.missing, WaterIon::alkalinity), false});
  return lines;
}

std::optional<double> share_below(const std::vector<science::WaterCeiling>& exceeded, const WaterIons<double>& ions) {
  std::optional<double> share;
  for (const science::WaterCeiling& ceiling : exceeded) {
    const auto one = science::distilled_share(ion_value(ions, ceiling.ion), ceiling.mg_per_l);
    if (one) share = std::max(share.value_or(0.0), *one);
  }
  return share;
}

}  // namespace

std::string ion_name(WaterIon ion) {
  for (const IonPlace& each : ion_places) {
    if (each.ion == ion) return each.name;
  }
  return "alkalinity";
}

double ion_value(const WaterIons<double>& water, WaterIon ion) {
  for (const IonPlace& each : ion_places) {
    if (each.ion == ion) return water.*each.place;
  }
  return water.alkalinity_meq_per_l;
}

std::string slip_words(science::ReportSlip slip) {
  using science::ReportSlip;
  switch (slip) {
    case ReportSlip::sulphate_as_sulphur: return "printed as sulphur (SO4-S)";
    case ReportSlip::nitrate_as_nitrogen: return "printed as nitrogen (NO3-N)";
    case ReportSlip::alkalinity_as_calcium_carbonate: return "alkalinity as CaCO3 taken for bicarbonate";
    case ReportSlip::bicarbonate_as_calcium_carbonate: return "bicarbonate taken for alkalinity as CaCO3";
    case ReportSlip::calcium_as_calcium_carbonate: return "calcium hardness as CaCO3 taken for calcium";
    case ReportSlip::magnesium_as_calcium_carbonate: return "magnesium hardness as CaCO3 taken for magnesium";
    case ReportSlip::total_hardness_as_calcium: return "total hardness as CaCO3 taken for calcium";
    case ReportSlip::other: break;
  }
  return "no known slip; this value would balance";
}

Boiled water_boiled(const WaterIons<double>& water) {
  constexpr double left_meq_per_l = 1.0;
  const double calcium_meq = water.calcium_mg_per_l / science::calcium_mg_per_meq;
  const double falls_meq = std::max(0.0, std::min(water.alkalinity_meq_per_l, calcium_meq) - left_meq_per_l);
  Boiled boiled{water, falls_meq * science::calcium_carbonate_mg_per_meq};
  boiled.ions.alkalinity_meq_per_l -= falls_meq;
  boiled.ions.calcium_mg_per_l -= falls_meq * science::calcium_mg_per_meq;
  return boiled;
}

WaterFindings water_findings(const WaterToRead& water) {
  const WaterIons<double>& ions = water.reading.ions;
  WaterFindings findings;
  findings.water = water;
  findings.ions = ion_lines(water);
  findings.hardness_meq_per_l = science::water_hardness_meq_per_l(ions);
  findings.carbonate_hardness_meq_per_l = std::min(findings.hardness_meq_per_l, ions.alkalinity_meq_per_l);
  findings.residual_alkalinity_meq_per_l = science::residual_alkalinity_kolbach_meq_per_l(ions);
  findings.exceeded = science::water_ceilings_exceeded(ions);
  if (const Boiled boiled = water_boiled(ions); boiled.chalk_mg_per_l > 0.0) findings.boiled = boiled;
  if (!water.distilled) {
    for (const double share : {0.25, 0.5, 0.75})
      findings.diluted.push_back({share, science::water_scaled(ions, 1.0 - share)});
  }
  findings.share_below_ceilings = share_below(findings.exceeded, ions);
  return findings;
}

std::optional<WaterFindings> blend_findings(const std::vector<WaterToRead>& waters) {
  if (waters.size() < 2) return std::nullopt;
  WaterToRead blend;
  blend.name = "all together";
  double volume_l = 0.0, chlorine_mg = 0.0;
  bool chlorine_known = true;
  for (const WaterToRead& water : waters) {
    if (!water.amount) return std::nullopt;
    const double litres = water.amount->in(litre);
    blend.reading.ions = science::water_blend(blend.reading.ions, volume_l, water.reading.ions, litres);
    blend.reading.bicarbonate_mg_per_l =
        (blend.reading.bicarbonate_mg_per_l * volume_l + water.reading.bicarbonate_mg_per_l * litres) /
        (volume_l + litres);
    for (const WaterIon ion : water.reading.missing) {
      if (!holds(blend.reading.missing, ion)) blend.reading.missing.push_back(ion);
    }
    chlorine_known = chlorine_known && (water.chlorine || water.distilled);
    if (water.chlorine) chlorine_mg += water.chlorine->in(milligram_per_litre)*litres;
    volume_l += litres;
  }
  blend.amount = volume_l * litre;
  if (chlorine_known) blend.chlorine = chlorine_mg / volume_l * milligram_per_litre;
  blend.reading.balance = science::water_charge_balance(blend.reading.ions);
  return water_findings(blend);
}

}  // namespace oddgrist::present
