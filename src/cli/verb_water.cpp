#include <cmath>
#include <memory>
#include <vector>

#include "cli/verbs.hpp"
#include "files/answer_json.hpp"
#include "files/water_file.hpp"
#include "present/water.hpp"

namespace oddgrist::cli {
namespace {

using files::Json;
using present::WaterFindings;

struct WaterOptions {
  std::string file;
  std::string units;
  OutputOptions output;
};

double rounded(double value, int decimals) {
  const double scale = std::pow(10.0, decimals);
  const double result = std::round(value * scale) / scale;
  return result == 0.0 ? 0.0 : result;  // never "-0.0"
}

Json hardness_json(double meq_per_l, bool molar) {
  Json all = Json::object();
  for (const present::HardnessColumn& column : present::hardness_columns) {
    if (!molar && column.unit == science::HardnessUnit::millimole_per_l) continue;
    all[column.json_key] = rounded(meq_per_l / science::meq_per_l_per_unit(column.unit), 4);
  }
  return all;
}

Json short_json(const science::WaterIons<double>& ions) {
  return Json{{"calcium_mg_per_l", rounded(ions.calcium_mg_per_l, 3)},
              {"alkalinity_meq_per_l", rounded(ions.alkalinity_meq_per_l, 4)},
              {"residual_alkalinity_meq_per_l", rounded(science::residual_alkalinity_kolbach_meq_per_l(ions), 4)}};
}

Json ions_json(const WaterFindings& findings) {
  Json ions = Json::object();
  for (const present::IonLine& ion : findings.ions) {
    ions[ion.name] = Json{{"mg_per_l", rounded(ion.mg_per_l, 3)},
                          {"meq_per_l", rounded(ion.meq_per_l, 4)},
                          {"from", ion.worked_out ? "hardness"
                                   : ion.stated   ? "report"
                                                  : "missing"}};
  }
  return ions;
}

Json balance_json(const science::WaterReading& reading) {
  Json suspects = Json::array();
  for (const science::WaterSuspect& suspect : reading.suspects) {
    const bool alkalinity = suspect.ion == science::WaterIon::alkalinity;
    suspects.push_back(Json{{"ion", present::ion_name(suspect.ion)},
                            {"unit", alkalinity ? "mEq/L" : "mg/L"},
                            {"reported", rounded(suspect.reported, 4)},
                            {"likely", rounded(suspect.corrected, 4)},
                            {"reason", present::slip_words(suspect.slip)}});
  }
  return Json{{"cations_meq_per_l", rounded(reading.balance.cations_meq_per_l, 4)},
              {"anions_meq_per_l", rounded(reading.balance.anions_meq_per_l, 4)},
              {"error_percent", rounded(reading.balance.error_percent, 3)},
              {"acceptable", reading.balance.acceptable},
              {"within_laboratory_limit", reading.balance.within_laboratory_limit},
              {"suspects", std::move(suspects)}};
}

Json chlorine_json(const present::WaterToRead& water) {
  if (!water.chlorine) return nullptr;
  const double mg_per_l = water.chlorine->in(milligram_per_litre);
  return Json{
      {"mg_per_l", rounded(mg_per_l, 3)},
      {"sodium_metabisulphite_mg_per_l", rounded(mg_per_l * science::sodium_metabisulphite_mg_per_mg_chlorine, 3)},
      {"potassium_metabisulphite_mg_per_l",
       rounded(mg_per_l * science::potassium_metabisulphite_mg_per_mg_chlorine, 3)}};
}

Json findings_json(const WaterFindings& findings) {
  const present::WaterToRead& water = findings.water;
  Json exceeded = Json::array();
  for (const science::WaterCeiling& ceiling : findings.exceeded) {
    exceeded.push_back(Json{{"ion", present::ion_name(ceiling.ion)},
                            {"kind", ceiling.kind == science::CeilingKind::health ? "health" : "taste"},
                            {"ceiling_mg_per_l", ceiling.mg_per_l},
                            {"reason", ceiling.reason},
                            {"source", ceiling.source}});
  }
  Json diluted = Json::array();
  for (const present::Dilution& dilution : findings.diluted) {
    Json row = short_json(dilution.ions);
    row["distilled_share"] = dilution.distilled_share;
    diluted.push_back(std::move(row));
  }
  Json boiled = nullptr;
  if (findings.boiled) {
    boiled = short_json(findings.boiled->ions);
    boiled["chalk_mg_per_l"] = rounded(findings.boiled->chalk_mg_per_l, 2);
  }
  Json document{{"name", water.name}, {"distilled", water.distilled}};
  document["amount_l"] = water.amount ? Json(rounded(water.amount->in(litre), 3)) : Json(nullptr);
  document["ph"] = water.ph ? Json(*water.ph) : Json(nullptr);
  document["ions"] = ions_json(findings);
  document["charge"] = balance_json(water.reading);
  document["hardness"] = hardness_json(findings.hardness_meq_per_l, true);
  document["carbonate_hardness"] = hardness_json(findings.carbonate_hardness_meq_per_l, true);
  document["alkalinity"] = hardness_json(water.reading.ions.alkalinity_meq_per_l, false);
  document["residual_alkalinity"] = hardness_json(findings.residual_alkalinity_meq_per_l, false);
  document["above_ceiling"] = std::move(exceeded);
  document["distilled_share_below_ceilings"] =
      findings.share_below_ceilings ? Json(rounded(*findings.share_below_ceilings, 4)) : Json(nullptr);
  document["chlorine"] = chlorine_json(water);
  document["boiled"] = std::move(boiled);
  document["diluted"] = std::move(diluted);
  return document;
}

int run_water(const WaterOptions& options) {
  const auto read = files::read_water_file(options.file);
  if (!read) return fail(options.output, read.problems());
  std::vector<present::WaterToRead> waters;
  std::vector<WaterFindings> findings;
  bool adds_up = true;
  for (const files::ReportedWater& water : read.value()) {
    waters.push_back({water.name, water.amount, water.reading, water.report.ph, water.chlorine, water.distilled});
    findings.push_back(present::water_findings(waters.back()));
    adds_up = adds_up && water.reading.suspects.empty();
  }
  const auto blend = present::blend_findings(waters);
  const int code = adds_up ? all_well : bad_input;
  if (!options.output.json)
    return emit(options.output, present::waters_text(findings, blend, options.units == "us"), code);
  Json list = Json::array();
  for (const WaterFindings& each : findings) list.push_back(findings_json(each));
  Json document{{"file", options.file}, {"waters", std::move(list)}};
  document["blend"] = blend ? findings_json(*blend) : Json(nullptr);
  return emit(options.output, files::json_text(document), code);
}

}  // namespace

void add_water(CLI::App& app, int& exit_code) {
  auto options = std::make_shared<WaterOptions>();
  CLI::App* verb = app.add_subcommand(
      "water",
      "Read a water report: whether it agrees with itself, hardness and alkalinity in every unit, what to do about it");
  verb->add_option("FILE", options->file,
                   "A TOML file with [water], or several [[water]]; a brief will do; - reads standard input")
      ->required()
      ->type_name("");
  verb->add_option("--units", options->units, "Which units come first: si or us")
      ->type_name("si|us")
      ->check(CLI::IsMember({"si", "us"}).description(""));
  add_output_options(*verb, options->output);
  add_example(*verb, "oddgrist water examples/waters/hard-well.toml");
  verb->callback([options, &exit_code] { exit_code = run_water(*options); });
}

}  // namespace oddgrist::cli
