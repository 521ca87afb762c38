#include "science/fermentation_kinetics.hpp"

#include <cvode/cvode.h>
#include <nvector/nvector_serial.h>
#include <sunlinsol/sunlinsol_dense.h>
#include <sunmatrix/sunmatrix_dense.h>

#include <algorithm>
#include <cmath>
#include <cstddef>

namespace oddgrist::science {
namespace {

// State, mol/m3: glucose, maltose, maltotriose (what the strain can take of it), yeast.
constexpr int glucose = 0, maltose = 1, maltotriose = 2, yeast = 3, state_size = 4;

// Rate constant exp(ln_a - energy / RT), energy in kcal/mol; the published pairs.
struct Arrhenius {
  double ln_a;
  double energy_kcal_per_mol;
  [[nodiscard]] double at(double kelvin) const { return std::exp(ln_a - energy_kcal_per_mol / (1.987e-3 * kelvin)); }
};
constexpr Arrhenius uptake_glucose{35.77, 22.6}, uptake_maltose{16.40, 11.3}, uptake_maltotriose{10.59, 7.16};
constexpr Arrhenius half_glucose{-121.3, -68.6}, half_maltose{-19.15, -14.4}, half_maltotriose{-26.78, -19.9};
constexpr Arrhenius repression_by_glucose{23.33, 10.2}, repression_by_maltose{55.61, 26.3};
constexpr double yeast_per_glucose = 0.134, yeast_per_maltose = 0.268, yeast_per_maltotriose = 0.402;
constexpr double published_yeast_start = 125.0;

double temperature_at(const std::vector<BeerTemperature>& course, double hour) {
  if (hour <= course.front().hour) return course.front().temperature_c;
  for (std::size_t i = 1; i < course.size(); ++i) {
    if (hour > course[i].hour) continue;
    const double length = course[i].hour - course[i - 1].hour;
    if (!(length > 0.0)) return course[i].temperature_c;
    const double share = (hour - course[i - 1].hour) / length;
    return (1.0 - share) * course[i - 1].temperature_c + share * course[i].temperature_c;
  }
  return course.back().temperature_c;
}

// Our own extension of the rates outside the fitted temperatures.
double outside_range_factor(const FermentationInput& input, double temperature_c) {
  constexpr double comfortable_c = 32.0;
  const double inside = std::clamp(temperature_c, fermentation_gee_range_c.low, fermentation_gee_range_c.high);
  const double counted = std::min(temperature_c, comfortable_c);
  double factor = std::pow(input.above_range_q10, (counted - inside) / 10.0);
  if (temperature_c > comfortable_c) {
    const double span = std::max(input.stop_temperature_c - comfortable_c, 0.5);
    factor *= std::clamp(1.0 - (temperature_c - comfortable_c) / span, 0.0, 1.0);
  }
  return temperature_c > -1.0 ? factor : 0.0;  // frozen
}

// The constants at one temperature, times what lies outside the fitted range and the strain's own pace.
struct Rates {
  double temperature_c = std::numeric_limits<double>::quiet_NaN();
  double scale = 0.0;
  double uptake_g = 0.0, uptake_m = 0.0, uptake_n = 0.0, half_g = 0.0, half_m = 0.0, half_n = 0.0;
  double repression_g = 0.0, repression_m = 0.0;
};

Rates rates_at(const FermentationInput& input, double temperature_c) {
  const double kelvin = 273.15 + std::clamp(temperature_c, fermentation_gee_range_c.low, fermentation_gee_range_c.high);
  Rates rates;
  rates.temperature_c = temperature_c;
  rates.scale = input.rate_multiplier * outside_range_factor(input, temperature_c);
  rates.uptake_g = uptake_glucose.at(kelvin);
  rates.uptake_m = uptake_maltose.at(kelvin);
  rates.uptake_n = uptake_maltotriose.at(kelvin);
  rates.half_g = half_glucose.at(kelvin);
  rates.half_m = half_maltose.at(kelvin);
  rates.half_n = half_maltotriose.at(kelvin);
  rates.repression_g = repression_by_glucose.at(kelvin);
  rates.repression_m = repression_by_maltose.at(kelvin);
  return rates;
}

struct Problem {
  const FermentationInput* input = nullptr;
  double hexose_added_g_l = 0.0;  // all the fermentable hexose so far, start and additions
  Rates rates;                    // at the temperature asked last: most hours are held at one
};

double hexose_of_state(const double* y) {
  return (y[glucose] + 2.0 * y[maltose] + 3.0 * y[maltotriose]) * glucose_g_per_mol * 1e-3;
}

double ethanol_g_l(const Problem& problem, const double* y) {
  const double consumed = std::max(problem.hexose_added_g_l - hexose_of_state(y), 0.0);
  return problem.input->ethanol_start_g_l + ferment_hexose(consumed, problem.input->to_ethanol_share).ethanol;
}

int derivatives(realtype hour, N_Vector state, N_Vector change, void* user) {
  Problem& problem = *static_cast<Problem*>(user);
  const double* y = N_VGetArrayPointer(state);
  double* dy = N_VGetArrayPointer(change);
  const FermentationInput& input = *problem.input;
  const double temperature_c = temperature_at(input.course, hour);
  if (problem.rates.temperature_c != temperature_c) problem.rates = rates_at(input, temperature_c);
  const Rates& k = problem.rates;
  double scale = k.scale;
  if (std::isfinite(input.ethanol_limit_g_l)) {
    scale *= std::max(0.0, 1.0 - ethanol_g_l(problem, y) / input.ethanol_limit_g_l);
  }
  // The solver may step a hair below zero; sugar that is not there is not eaten.
  const double g = std::max(y[glucose], 0.0), m = std::max(y[maltose], 0.0), n = std::max(y[maltotriose], 0.0);
  const double free_of_glucose = k.repression_g / (k.repression_g + g);
  const double free_of_maltose = k.repression_m / (k.repression_m + m);
  const double rate_g = scale * k.uptake_g * g / (k.half_g + g);
  const double rate_m = scale * k.uptake_m * m / (k.half_m + m) * free_of_glucose;
  const double rate_n = scale * k.uptake_n * n / (k.half_n + n) * free_of_glucose * free_of_maltose;
  dy[glucose] = -rate_g * y[yeast];
  dy[maltose] = -rate_m * y[yeast];
  dy[maltotriose] = -rate_n * y[yeast];
  dy[yeast] = (yeast_per_glucose * rate_g + yeast_per_maltose * rate_m + yeast_per_maltotriose * rate_n) * y[yeast];
  return 0;
}

// CVODE and what it needs, freed in the right order. `ready` is false when any part could not be made.
class Solver {
 public:
  Solver(const double* start, Problem& problem) {
    if (SUNContext_Create(nullptr, &context_) != 0) return;
    state_ = N_VNew_Serial(state_size, context_);
    tolerance_ = state_ ? N_VNew_Serial(state_size, context_) : nullptr;
    matrix_ = tolerance_ ? SUNDenseMatrix(state_size, state_size, context_) : nullptr;
    linear_ = matrix_ ? SUNLinSol_Dense(state_, matrix_, context_) : nullptr;
    memory_ = linear_ ? CVodeCreate(CV_BDF, context_) : nullptr;
    if (!memory_) return;
    std::copy(start, start + state_size, N_VGetArrayPointer(state_));
    N_VConst(1e-5, tolerance_);  // mol/m3, far below 1 mg/L
    ready_ = CVodeInit(memory_, derivatives, 0.0, state_) == CV_SUCCESS &&
             CVodeSVtolerances(memory_, 1e-7, tolerance_) == CV_SUCCESS &&
             CVodeSetUserData(memory_, &problem) == CV_SUCCESS &&
             CVodeSetLinearSolver(memory_, linear_, matrix_) == CV_SUCCESS &&
             CVodeSetMaxNumSteps(memory_, 20000) == CV_SUCCESS &&
             CVodeSetErrHandlerFn(
                 memory_, [](int, const char*, const char*, char*, void*) {}, nullptr) == CV_SUCCESS;
  }
  Solver(const Solver&) = delete;
  Solver& operator=(const Solver&) = delete;
  ~Solver() {
    if (memory_) CVodeFree(&memory_);
    if (linear_) SUNLinSolFree(linear_);
    if (matrix_) SUNMatDestroy(matrix_);
    if (tolerance_) N_VDestroy(tolerance_);
    if (state_) N_VDestroy(state_);
    if (context_) SUNContext_Free(&context_);
  }
  [[nodiscard]] bool ready() const { return ready_; }
  [[nodiscard]] double* state() const { return N_VGetArrayPointer(state_); }

  // After the state or the course has jumped.
  bool restart(double hour) { return CVodeReInit(memory_, hour, state_) == CV_SUCCESS; }

  // To an hour, stepping over nothing that comes at `break_hour` (at or after it).
  bool advance(double to_hour, double break_hour) {
    realtype reached = 0.0;
    return CVodeSetStopTime(memory_, break_hour) == CV_SUCCESS &&
           CVode(memory_, to_hour, state_, &reached, CV_NORMAL) >= 0 && std::isfinite(state()[glucose]) &&
           std::isfinite(state()[maltose]) && std::isfinite(state()[maltotriose]);
  }

 private:
  SUNContext context_ = nullptr;
  N_Vector state_ = nullptr;
  N_Vector tolerance_ = nullptr;
  SUNMatrix matrix_ = nullptr;
  SUNLinearSolver linear_ = nullptr;
  void* memory_ = nullptr;
  bool ready_ = false;
};

bool within(double value, double low, double high) { return value >= low && value <= high; }  // false for NaN

bool usable(const FermentationInput& in) {
  const FermentationSugars& s = in.start;
  bool good = within(s.glucose_g_l, 0.0, 500.0) && within(s.maltose_g_l, 0.0, 500.0) &&
              within(s.maltotriose_g_l, 0.0, 500.0) && within(in.maltotriose_uptake, 0.0, 1.0) &&
              within(in.ethanol_start_g_l, 0.0, 200.0) && within(in.hours, 0.1, 24.0 * 365.0) &&
              within(in.sample_hours, 0.05, 1000.0) && within(in.pitch_relative, 0.001, 100.0) &&
              within(in.rate_multiplier, 0.0, 100.0) && within(in.above_range_q10, 1.0, 5.0) &&
              within(in.stop_temperature_c, 20.0, 60.0) && in.ethanol_limit_g_l > 0.0 &&
              within(in.to_ethanol_share, 0.0, 1.0) && !in.course.empty();
  double before = -std::numeric_limits<double>::infinity();
  for (const BeerTemperature& point : in.course) {
    good = good && within(point.temperature_c, -10.0, 60.0) && point.hour >= before;
    before = point.hour;
  }
  before = 0.0;
  for (const LateSugar& late : in.late_sugars) {
    good = good && within(late.glucose_g_l, 0.0, 500.0) && within(late.sucrose_g_l, 0.0, 500.0) &&
           within(late.maltose_g_l, 0.0, 500.0) && late.hour >= before;
    before = late.hour;
  }
  return good;
}

void add_late_sugar(const LateSugar& late, double* y, Problem& problem) {
  const double hexose_before = hexose_of_state(y);
  y[glucose] += late.glucose_g_l / glucose_g_per_mol * 1e3 + 2.0 * late.sucrose_g_l / sucrose_g_per_mol * 1e3;
  y[maltose] += late.maltose_g_l / maltose_g_per_mol * 1e3;
  problem.hexose_added_g_l += hexose_of_state(y) - hexose_before;
}

FermentationSample sample(const FermentationInput& input, const Problem& problem, double hour, const double* y) {
  FermentationSample now;
  now.hour = hour;
  now.temperature_c = temperature_at(input.course, hour);
  const double untouched = input.start.maltotriose_g_l * (1.0 - input.maltotriose_uptake);
  double bounded[state_size];
  for (int i = 0; i < state_size; ++i) bounded[i] = std::max(y[i], 0.0);
  now.sugars.glucose_g_l = bounded[glucose] * glucose_g_per_mol * 1e-3;
  now.sugars.maltose_g_l = bounded[maltose] * maltose_g_per_mol * 1e-3;
  now.sugars.maltotriose_g_l = bounded[maltotriose] * maltotriose_g_per_mol * 1e-3 + untouched;
  const double consumed = std::max(problem.hexose_added_g_l - hexose_of_state(bounded), 0.0);
  const FermentedHexose<double> made = ferment_hexose(consumed, input.to_ethanol_share);
  now.ethanol_g_l = input.ethanol_start_g_l + made.ethanol;
  now.carbon_dioxide_g_l = made.carbon_dioxide;
  now.yeast_g_l = made.yeast;
  return now;
}

// An hour to report at; a break is one where the course turns a corner, sugar is added or time ends.
struct Stop {
  double hour = 0.0;
  bool is_break = false;
};

constexpr double second_in_hours = 1.0 / 3600.0;

std::vector<Stop> stops(const FermentationInput& input) {
  std::vector<Stop> all;
  for (int i = 1; i * input.sample_hours < input.hours; ++i) all.push_back({i * input.sample_hours, false});
  for (const BeerTemperature& point : input.course) all.push_back({point.hour, true});
  for (const LateSugar& late : input.late_sugars) all.push_back({late.hour, true});
  all.push_back({input.hours, true});
  std::stable_sort(all.begin(), all.end(), [](const Stop& a, const Stop& b) { return a.hour < b.hour; });
  // Two stops closer than a second would ask the solver for a step of nothing.
  std::vector<Stop> kept;
  for (const Stop& stop : all) {
    if (stop.hour <= second_in_hours || stop.hour > input.hours) continue;
    if (kept.empty() || stop.hour - kept.back().hour > second_in_hours) {
      kept.push_back(stop);
    } else {
      kept.back().is_break = kept.back().is_break || stop.is_break;
    }
  }
  return kept;
}

FermentationStatus judge(const FermentationInput& input, const FermentationSample& last, double left_share) {
  if (left_share <= 0.005) return FermentationStatus::done;
  if (last.ethanol_g_l >= 0.97 * input.ethanol_limit_g_l) return FermentationStatus::stopped_by_ethanol;
  if (outside_range_factor(input, last.temperature_c) < 0.05) return FermentationStatus::stopped_by_cold_or_heat;
  return FermentationStatus::under_way;
}

double next_break(const std::vector<Stop>& all, std::size_t from) {
  while (from + 1 < all.size() && !all[from].is_break) ++from;
  return all[from].hour;
}

}  // namespace

double FermentationSugars::hexose_g_l() const {
  return glucose_g_l + maltose_g_l * 2.0 * glucose_g_per_mol / maltose_g_per_mol +
         maltotriose_g_l * 3.0 * glucose_g_per_mol / maltotriose_g_per_mol;
}

FermentationRun ferment(const FermentationInput& input) {
  FermentationRun run;
  if (!usable(input)) return run;
  const double start[state_size] = {
      input.start.glucose_g_l / glucose_g_per_mol * 1e3, input.start.maltose_g_l / maltose_g_per_mol * 1e3,
      input.start.maltotriose_g_l * input.maltotriose_uptake / maltotriose_g_per_mol * 1e3,
      published_yeast_start * input.pitch_relative};
  Problem problem{&input, hexose_of_state(start), {}};
  Solver solver(start, problem);
  if (!solver.ready()) {
    run.status = FermentationStatus::solver_failed;
    return run;
  }
  std::size_t next_late = 0;
  const auto add_due_sugar = [&](double hour) {
    for (; next_late < input.late_sugars.size(); ++next_late) {
      const LateSugar& late = input.late_sugars[next_late];
      if (late.hour > hour + second_in_hours) return;
      add_late_sugar(late, solver.state(), problem);
    }
  };
  const auto left_share = [&] {
    return std::max(hexose_of_state(solver.state()), 0.0) / std::max(problem.hexose_added_g_l, 1e-12);
  };
  add_due_sugar(0.0);
  run.samples.push_back(sample(input, problem, 0.0, solver.state()));
  bool good = solver.restart(0.0);
  bool waiting = true;  // for 95 % to be gone
  const std::vector<Stop> all = stops(input);
  for (std::size_t i = 0; good && i < all.size(); ++i) {
    good = solver.advance(all[i].hour, next_break(all, i));
    if (!good) break;
    if (all[i].is_break) {
      add_due_sugar(all[i].hour);
      good = solver.restart(all[i].hour);
    }
    run.samples.push_back(sample(input, problem, all[i].hour, solver.state()));
    const bool was_waiting = waiting;
    waiting = left_share() > 0.05;
    if (waiting || was_waiting) run.attenuation_hour = all[i].hour;
  }
  run.status = good ? judge(input, run.samples.back(), left_share()) : FermentationStatus::solver_failed;
  run.extrapolated = std::any_of(run.samples.begin(), run.samples.end(), [](const FermentationSample& now) {
    return !fermentation_gee_range_c.holds(now.temperature_c);
  });
  run.limit.maltotriose_g_l = input.start.maltotriose_g_l * (1.0 - input.maltotriose_uptake);
  run.ethanol_limit_g_l =
      input.ethanol_start_g_l + ferment_hexose(problem.hexose_added_g_l, input.to_ethanol_share).ethanol;
  return run;
}

}  // namespace oddgrist::science
