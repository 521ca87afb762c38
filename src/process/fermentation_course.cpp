#include "process/fermentation_course.hpp"

#include <algorithm>
#include <array>
#include <cmath>
#include <string_view>
#include <variant>

#include "process/apply.hpp"
#include "process/forecast.hpp"
#include "science/fermentation_kinetics.hpp"
#include "science/pitching.hpp"
#include "science/vapour.hpp"

namespace oddgrist::process {
namespace {

constexpr double hexose_per_disaccharide = 2.0 * science::glucose_g_per_mol / science::sucrose_g_per_mol;
constexpr double ethanol_kg_per_l = science::ethanol_density_oiml_20c_kg_per_m3 / 1000.0;

// Sugars in the order in which they are taken up.
enum Uptake : std::size_t { first_sugars, maltose_sugars, slow_sugars, uptake_count };

struct Sugar {
  Component component;
  Uptake uptake;
};
constexpr std::array<Sugar, 6> sugars = {{{Component::glucose, first_sugars},
                                          {Component::fructose, first_sugars},
                                          {Component::sucrose, first_sugars},
                                          {Component::maltose, maltose_sugars},
                                          {Component::maltotriose, slow_sugars},
                                          {Component::dextrin, slow_sugars}}};
using Progress = std::array<double, uptake_count>;  // share of what will be eaten that is gone

// What the plan's own steps say of the fermentation.
struct Stages {
  Mixture<double> pitched;
  Mixture<double> eaten_first;   // before the dose; without a dose, all
  Mixture<double> dosed;         // what the dose leaves in the beer
  Mixture<double> eaten_second;  // after it
  bool has_dose = false;
  bool ferments = false;
  double yeast_kg = 0.0;
  double temperature_c = 19.0;
  double volume_l = 0.0;
};

Stages stages_of(const Plan<double>& plan) {
  const Forecast<double> run = forecast(plan, Trace::on);
  Stages stages;
  for (std::size_t i = 0; i < plan.steps.size(); ++i) {
    const Moment<double>& moment = run.trace[i];
    if (const auto* pitch = std::get_if<Pitch<double>>(&plan.steps[i])) {
      stages.pitched = moment.after;
      stages.yeast_kg = total_mass_kg(pitch->yeast);
      stages.volume_l = liquid_volume_l(moment.after, 20.0);
    } else if (std::holds_alternative<Dose<double>>(plan.steps[i]) && total_mass_kg(moment.added) > 0.0) {
      stages.has_dose = true;
      stages.dosed = moment.added;
      for (const auto& removed : moment.removed) detail::take_from(stages.dosed, removed.mixture);
    } else if (const auto* ferment = std::get_if<Attenuate<double>>(&plan.steps[i])) {
      stages.temperature_c = ferment->how.temperature_c;
      for (const Sugar& sugar : sugars) stages.eaten_first[sugar.component] -= moment.reacted[sugar.component];
    } else if (std::holds_alternative<Referment<double>>(plan.steps[i])) {
      for (const Sugar& sugar : sugars) stages.eaten_second[sugar.component] -= moment.reacted[sugar.component];
    }
  }
  stages.ferments = stages.volume_l > 0.0 && total_mass_kg(stages.eaten_first) > 0.0;
  return stages;
}

// The beer and the gas that has left it.
struct Snapshot {
  Mixture<double> beer;
  double gas_kg = 0.0;
};

// The beer once these sugars are eaten, by the forward model's own balance.
Snapshot snapshot(const Stages& stages, const Mixture<double>& eaten, bool dosed) {
  Moment<double> products;
  products.after = eaten;
  larder::YeastTraits takes_all;
  takes_all.maltose_uptake = takes_all.maltotriose_uptake = takes_all.dextrin_uptake = 1.0;
  detail::ferment_sugars(products, eaten, takes_all);
  Moment<double> now;
  now.after = stages.pitched;
  if (dosed) add_to(now.after, stages.dosed);
  detail::take_from(now.after, eaten);
  add_to(now.after, products.after);
  now.after.temperature_c = stages.temperature_c;
  detail::vent(now, stages.temperature_c);
  Snapshot result{now.after, 0.0};
  for (const auto& removed : now.removed) result.gas_kg += removed.mixture[Component::carbon_dioxide];
  return result;
}

Mixture<double> scaled(const Mixture<double>& eaten, const Progress& progress) {
  Mixture<double> part;
  for (const Sugar& sugar : sugars) part[sugar.component] = eaten[sugar.component] * progress[sugar.uptake];
  return part;
}

Mixture<double> sum(Mixture<double> one, const Mixture<double>& other) {
  add_to(one, other);
  return one;
}

double end_gravity(const Stages& stages, bool dosed) {
  const Mixture<double> eaten = dosed ? sum(stages.eaten_first, stages.eaten_second) : stages.eaten_first;
  return apparent_gravity_sg(snapshot(stages, eaten, dosed).beer);
}

double end_abv(const Stages& stages) {
  const Mixture<double> eaten = sum(stages.eaten_first, stages.eaten_second);
  return alcohol_by_volume_percent(snapshot(stages, eaten, stages.has_dose).beer);
}

// ---- One pace

struct Pace {
  double rate_multiplier = 1.0;
  double pitch_relative = 1.0;
  larder::YeastTraits yeast;
};

struct PaceRun {
  science::FermentationStatus status = science::FermentationStatus::bad_input;
  bool extrapolated = false;
  std::vector<Snapshot> snapshots;  // every course_step_hours
  std::vector<double> fermentable_g_per_l;
  double first_end_sg = 1.0, end_sg = 1.0;
  std::optional<double> near_end, refermented;
};

double per_l(const Stages& stages, double kg) { return std::max(kg, 0.0) * 1000.0 / stages.volume_l; }

science::FermentationInput kinetics_of(const Stages& stages, const Pace& pace) {
  const Mixture<double>& eaten = stages.eaten_first;
  science::FermentationInput input;
  input.start.glucose_g_l = per_l(stages, eaten[Component::glucose] + eaten[Component::fructose] +
                                              eaten[Component::sucrose] * hexose_per_disaccharide);
  input.start.maltose_g_l = per_l(stages, eaten[Component::maltose]);
  input.start.maltotriose_g_l = per_l(stages, eaten[Component::maltotriose] + eaten[Component::dextrin]);
  input.ethanol_start_g_l = per_l(stages, stages.pitched[Component::ethanol]);
  input.course = {{0.0, stages.temperature_c}};
  input.hours = course_days * 24.0;
  input.sample_hours = course_step_hours;
  input.pitch_relative = pace.pitch_relative;
  input.rate_multiplier = pace.rate_multiplier;
  // A strain that thrives in heat does not stop where others do.
  input.stop_temperature_c = std::clamp(pace.yeast.temperature_high_c + 5.0, input.stop_temperature_c, 60.0);
  if (end_abv(stages) > pace.yeast.tolerance_abv_percent) {
    input.ethanol_limit_g_l = std::max(pace.yeast.tolerance_abv_percent, 0.1) * 10.0 * ethanol_kg_per_l;
  }
  return input;
}

science::LateSugar late_sugar_of(const Stages& stages, double hour) {
  const Mixture<double>& eaten = stages.eaten_second;
  science::LateSugar late;
  late.hour = hour;
  late.glucose_g_l = per_l(stages, eaten[Component::glucose] + eaten[Component::fructose]);
  late.sucrose_g_l = per_l(stages, eaten[Component::sucrose]);
  late.maltose_g_l =
      per_l(stages, eaten[Component::maltose] + eaten[Component::maltotriose] + eaten[Component::dextrin]);
  return late;
}

double share_gone(double left, double all) { return all > 0.0 ? std::clamp(1.0 - left / all, 0.0, 1.0) : 1.0; }

Progress progress_since(const science::FermentationSugars& start, const science::FermentationSugars& now) {
  return {share_gone(now.glucose_g_l, start.glucose_g_l), share_gone(now.maltose_g_l, start.maltose_g_l),
          share_gone(now.maltotriose_g_l, start.maltotriose_g_l)};
}

// After the dose maltose and what is slower are one: the kinetics know late maltose only.
Progress progress_since_dose(const science::FermentationSugars& start, const science::FermentationSugars& now) {
  const double slow = share_gone(now.maltose_g_l + now.maltotriose_g_l, start.maltose_g_l + start.maltotriose_g_l);
  return {share_gone(now.glucose_g_l, start.glucose_g_l), slow, slow};
}

void follow_dose(const Stages& stages, science::FermentationInput input, PaceRun& run, std::size_t dose_at,
                 const Progress& at_dose) {
  const double hour = static_cast<double>(dose_at) * course_step_hours;
  input.late_sugars = {late_sugar_of(stages, hour)};
  const science::FermentationRun kinetics = science::ferment(input);
  run.status = kinetics.status;
  if (kinetics.samples.size() != run.snapshots.size()) {
    run.status = science::FermentationStatus::solver_failed;
    return;
  }
  const Mixture<double> eaten_before = scaled(stages.eaten_first, at_dose);
  Mixture<double> to_eat = sum(stages.eaten_first, stages.eaten_second);
  detail::take_from(to_eat, eaten_before);
  const science::FermentationSugars start = kinetics.samples[dose_at].sugars;
  for (std::size_t i = dose_at; i < run.snapshots.size(); ++i) {
    const science::FermentationSugars& now = kinetics.samples[i].sugars;
    const Mixture<double> eaten_since = scaled(to_eat, progress_since_dose(start, now));
    run.fermentable_g_per_l[i] = per_l(stages, total_mass_kg(to_eat) - total_mass_kg(eaten_since));
    const Mixture<double> eaten = sum(eaten_before, eaten_since);
    run.snapshots[i] = snapshot(stages, eaten, true);
    if (!run.refermented && now.hexose_g_l() <= 0.05 * start.hexose_g_l()) {
      run.refermented = static_cast<double>(i) * course_step_hours;
    }
  }
}

PaceRun run_pace(const Stages& stages, const Pace& pace) {
  PaceRun run;
  const science::FermentationInput input = kinetics_of(stages, pace);
  const science::FermentationRun kinetics = science::ferment(input);
  run.status = kinetics.status;
  run.extrapolated = kinetics.extrapolated;
  run.first_end_sg = end_gravity(stages, false);
  run.end_sg = stages.has_dose ? end_gravity(stages, true) : run.first_end_sg;
  const auto whole = static_cast<std::size_t>(std::lround(course_days * 24.0 / course_step_hours)) + 1;
  if (kinetics.samples.size() != whole) {
    if (run.status != science::FermentationStatus::bad_input) run.status = science::FermentationStatus::solver_failed;
    return run;
  }
  for (std::size_t i = 0; i < whole; ++i) {
    const science::FermentationSugars& now = kinetics.samples[i].sugars;
    const Mixture<double> eaten = scaled(stages.eaten_first, progress_since(input.start, now));
    run.snapshots.push_back(snapshot(stages, eaten, false));
    run.fermentable_g_per_l.push_back(per_l(stages, total_mass_kg(stages.eaten_first) - total_mass_kg(eaten)));
  }
  for (std::size_t i = 0; i < whole && !run.near_end; ++i) {
    if (std::abs(apparent_gravity_sg(run.snapshots[i].beer) - run.first_end_sg) > near_end_sg) continue;
    run.near_end = static_cast<double>(i) * course_step_hours;
    if (stages.has_dose) follow_dose(stages, input, run, i, progress_since(input.start, kinetics.samples[i].sugars));
  }
  return run;
}

// ---- The paces together

struct UptakeRange {
  double low = 0.0, high = 0.0;
};

UptakeRange uptake_range(const larder::Ingredient& yeast, std::string_view figure, double usual) {
  for (const larder::Spread& spread : yeast.spreads) {
    if (spread.figure == figure) return {std::min(spread.low, usual), std::max(spread.high, usual)};
  }
  return {usual, usual};
}

Plan<double> with_traits(Plan<double> plan, const larder::YeastTraits& traits) {
  for (auto& step : plan.steps) {
    if (auto* ferment = std::get_if<Attenuate<double>>(&step)) ferment->how.yeast = traits;
    if (auto* again = std::get_if<Referment<double>>(&step)) again->how.yeast = traits;
  }
  return plan;
}

larder::YeastTraits traits_of(const Plan<double>& plan) {
  for (const auto& step : plan.steps) {
    if (const auto* ferment = std::get_if<Attenuate<double>>(&step)) return ferment->how.yeast;
  }
  return {};
}

CourseStatus status_of(science::FermentationStatus status) {
  switch (status) {
    case science::FermentationStatus::done: return CourseStatus::done;
    case science::FermentationStatus::under_way: return CourseStatus::under_way;
    case science::FermentationStatus::stopped_by_ethanol: return CourseStatus::stopped_by_alcohol;
    case science::FermentationStatus::stopped_by_cold_or_heat: return CourseStatus::stopped_by_cold_or_heat;
    case science::FermentationStatus::bad_input:
    case science::FermentationStatus::solver_failed: return CourseStatus::failed;
  }
  return CourseStatus::failed;
}

PitchCheck check_pitch(const Stages& stages, const larder::Ingredient& yeast, const larder::YeastTraits& traits) {
  const science::PitchRate rate = traits.lager ? science::pitch_rate_lager : science::pitch_rate_ale;
  const double plato = science::plato_from_specific_gravity_asbc(apparent_gravity_sg(stages.pitched));
  const double strong = plato > 18.0 ? 1.25 : 1.0;  // common practice, no source
  const auto wanted = [&](double million) { return strong * science::pitch_cells(million, stages.volume_l, plato); };
  const UptakeRange count = uptake_range(yeast, "cells-per-kg", traits.cells_per_kg);
  PitchCheck check;
  check.yeast_g = stages.yeast_kg * 1000.0;
  check.cells = {stages.yeast_kg * traits.cells_per_kg, stages.yeast_kg * count.low, stages.yeast_kg * count.high};
  check.cells_wanted = {wanted(rate.usual), wanted(rate.low), wanted(rate.high)};
  const auto grams = [&](double cells) {
    return traits.cells_per_kg > 0.0 ? science::dry_yeast_g(cells, traits.cells_per_kg / 1000.0) : 0.0;
  };
  check.yeast_wanted_g = {grams(check.cells_wanted.usual), grams(check.cells_wanted.low),
                          grams(check.cells_wanted.high)};
  const double cells = check.cells.usual;
  check.verdict = cells < check.cells_wanted.low     ? PitchVerdict::too_little
                  : cells < check.cells_wanted.usual ? PitchVerdict::on_the_low_side
                  : cells > check.cells_wanted.high  ? PitchVerdict::plenty
                                                     : PitchVerdict::enough;
  return check;
}

ToleranceCheck check_tolerance(const Stages& stages, const larder::YeastTraits& traits) {
  ToleranceCheck check;
  check.abv_percent = end_abv(stages);
  check.tolerance_abv_percent = traits.tolerance_abv_percent;
  if (check.abv_percent > traits.tolerance_abv_percent) {
    check.verdict = ToleranceVerdict::beyond;
  } else if (check.abv_percent > 0.85 * traits.tolerance_abv_percent) {
    check.verdict = ToleranceVerdict::near_limit;
  }
  return check;
}

// Of several runs: the soonest and the latest, the latest left out if any never comes there.
Moments moments_of(const PaceRun& usual, const std::vector<PaceRun>& others, std::optional<double> PaceRun::*hour) {
  Moments moments{usual.*hour, usual.*hour, usual.*hour};
  for (const PaceRun& run : others) {
    const std::optional<double> at = run.*hour;
    if (at && (!moments.soonest || *at < *moments.soonest)) moments.soonest = at;
    if (moments.latest) moments.latest = at ? std::optional(std::max(*at, *moments.latest)) : std::nullopt;
  }
  return moments;
}

Interval interval_of(const PaceRun& usual, const std::vector<PaceRun>& others, double PaceRun::*figure) {
  Interval interval{usual.*figure, usual.*figure, usual.*figure};
  for (const PaceRun& run : others) {
    interval.low = std::min(interval.low, run.*figure);
    interval.high = std::max(interval.high, run.*figure);
  }
  return interval;
}

std::size_t points_to_show(const FermentationCourse& course, std::size_t all) {
  const Moments& last = course.dose ? course.dose->refermented : course.near_end;
  if (!last.latest) return all;
  const double hours = *last.latest + 48.0;
  return std::min(all, static_cast<std::size_t>(std::ceil(hours / course_step_hours)) + 1);
}

void fill_points(FermentationCourse& course, const PaceRun& usual, const std::vector<PaceRun>& others) {
  const std::size_t count = points_to_show(course, usual.snapshots.size());
  for (std::size_t i = 0; i < count; ++i) {
    CoursePoint point;
    point.hour = static_cast<double>(i) * course_step_hours;
    point.beer = usual.snapshots[i].beer;
    point.gas_kg = point.gas_high_kg = usual.snapshots[i].gas_kg;
    const double gravity = apparent_gravity_sg(point.beer);
    point.gravity_sg = {gravity, gravity, gravity};
    for (const PaceRun& run : others) {
      const double other = apparent_gravity_sg(run.snapshots[i].beer);
      point.gravity_sg.low = std::min(point.gravity_sg.low, other);
      point.gravity_sg.high = std::max(point.gravity_sg.high, other);
      point.gas_high_kg = std::max(point.gas_high_kg, run.snapshots[i].gas_kg);
    }
    point.abv_percent = alcohol_by_volume_percent(point.beer);
    const double volume_l = liquid_volume_l(point.beer, 20.0);
    for (const Sugar& sugar : sugars) {
      if (sugar.component != Component::dextrin)
        point.sugars_g_per_l += point.beer[sugar.component] * 1000.0 / volume_l;
    }
    point.fermentable_g_per_l = usual.fermentable_g_per_l[i];
    course.points.push_back(std::move(point));
  }
}

double peak_gas(const std::vector<PaceRun>& runs) {
  double peak = 0.0;
  for (const PaceRun& run : runs) {
    for (std::size_t i = 1; i < run.snapshots.size(); ++i) {
      peak = std::max(peak, (run.snapshots[i].gas_kg - run.snapshots[i - 1].gas_kg) / course_step_hours);
    }
  }
  return peak;
}

std::vector<PaceRun> run_others(const Plan<double>& plan, const larder::Ingredient& yeast, const Pace& usual) {
  const UptakeRange maltotriose = uptake_range(yeast, "maltotriose-uptake", usual.yeast.maltotriose_uptake);
  const UptakeRange dextrin = uptake_range(yeast, "dextrin-uptake", usual.yeast.dextrin_uptake);
  std::vector<PaceRun> runs;
  for (const bool high : {false, true}) {
    Pace pace = usual;
    pace.yeast.maltotriose_uptake = high ? maltotriose.high : maltotriose.low;
    pace.yeast.dextrin_uptake = high ? dextrin.high : dextrin.low;
    const Stages stages = stages_of(with_traits(plan, pace.yeast));
    for (const double rate :
         {science::fermentation_rate_multiplier_range.low, science::fermentation_rate_multiplier_range.high}) {
      pace.rate_multiplier = rate;
      PaceRun run = run_pace(stages, pace);
      if (!run.snapshots.empty()) runs.push_back(std::move(run));
    }
  }
  return runs;
}

LateDose dose_of(const Stages& stages) {
  LateDose dose;
  dose.sugar_g = total_mass_kg(stages.eaten_second) * 1000.0;
  const Snapshot before = snapshot(stages, stages.eaten_first, false);
  const Snapshot after = snapshot(stages, stages.eaten_first, true);
  dose.rise_sg = apparent_gravity_sg(after.beer) - apparent_gravity_sg(before.beer);
  return dose;
}

}  // namespace

FermentationCourse fermentation_course(const Plan<double>& plan, const larder::Ingredient& yeast) {
  FermentationCourse course;
  const larder::YeastTraits traits = traits_of(plan);
  const Stages stages = stages_of(plan);
  if (!stages.ferments) return course;
  course.volume_l = stages.volume_l;
  course.temperature_c = stages.temperature_c;
  if (stages.temperature_c < traits.temperature_low_c) course.temperature = TemperatureVerdict::too_cold;
  if (stages.temperature_c > traits.temperature_high_c) course.temperature = TemperatureVerdict::too_warm;
  course.original_gravity_sg = apparent_gravity_sg(stages.pitched);
  course.pitch = check_pitch(stages, yeast, traits);
  course.tolerance = check_tolerance(stages, traits);
  Pace pace;
  pace.yeast = traits;
  if (course.pitch.cells_wanted.usual > 0.0) {
    pace.pitch_relative = std::clamp(course.pitch.cells.usual / course.pitch.cells_wanted.usual, 0.25, 3.0);
  }
  const PaceRun usual = run_pace(stages, pace);
  course.status = status_of(usual.status);
  course.extrapolated = usual.extrapolated;
  if (usual.snapshots.empty()) return course;
  const std::vector<PaceRun> others = run_others(plan, yeast, pace);
  course.first_end_sg = interval_of(usual, others, &PaceRun::first_end_sg);
  course.end_sg = interval_of(usual, others, &PaceRun::end_sg);
  course.near_end = moments_of(usual, others, &PaceRun::near_end);
  course.peak_gas_kg_per_hour = peak_gas(others);
  if (stages.has_dose) {
    course.dose = dose_of(stages);
    course.dose->hour = course.near_end;
    course.dose->refermented = moments_of(usual, others, &PaceRun::refermented);
  }
  fill_points(course, usual, others);
  return course;
}

RoomCheck room_check(const FermentationCourse& course, double room_m3) {
  constexpr double gas_constant_l_bar_per_mol_k = 0.0831446262;  // CODATA 2018
  RoomCheck check;
  check.room_m3 = room_m3;
  if (course.points.empty() || !(room_m3 > 0.0)) return check;
  const double l_per_mol =
      gas_constant_l_bar_per_mol_k * (course.temperature_c + 273.15) / science::standard_atmosphere_bar;
  const double l_per_kg = 1000.0 / science::carbon_dioxide_g_per_mol * l_per_mol;
  check.gas_l = course.points.back().gas_high_kg * l_per_kg;
  check.peak_l_per_hour = course.peak_gas_kg_per_hour * l_per_kg;
  const double room_l = room_m3 * 1000.0;
  check.sealed_percent = 100.0 * check.gas_l / (room_l + check.gas_l);
  const double fresh_l_per_hour = room_l * closed_room_changes_per_hour;
  check.closed_percent =
      std::min(check.sealed_percent, 100.0 * check.peak_l_per_hour / (fresh_l_per_hour + check.peak_l_per_hour));
  if (check.sealed_percent >= gas_limit_short_percent) {
    check.verdict = RoomVerdict::danger;
  } else if (check.sealed_percent >= gas_limit_shift_percent) {
    check.verdict = RoomVerdict::air_it;
  }
  return check;
}

}  // namespace oddgrist::process
