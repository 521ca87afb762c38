#include "science/mash_kinetics.hpp"

#include <math.h>  // Boost 1.74 interpolators call isnan unqualified

#include <cvode/cvode.h>
#include <nvector/nvector_serial.h>
#include <sunlinsol/sunlinsol_dense.h>
#include <sunmatrix/sunmatrix_dense.h>

#include <algorithm>
#include <boost/math/interpolators/pchip.hpp>
#include <cmath>
#include <memory>
#include <optional>

#include "science/attenuation.hpp"

namespace oddgrist::science {
namespace {

constexpr double kelvin_at_zero_c = 273.15;
constexpr double seconds_per_minute = 60.0;

// Water taken up, kg per kg of anhydroglucose, by the way it leaves.
constexpr double glucose_uptake = glucose_per_starch - 1.0;
constexpr double maltose_uptake = maltose_per_starch - 1.0;
constexpr double maltotriose_uptake = maltotriose_per_starch - 1.0;

enum State : int {
  solid_at,
  gelatinised_at,
  dextrin_at,
  limit_dextrin_at,
  glucose_at,
  maltose_at,
  maltotriose_at,
  water_at,
  alpha_grain_at,
  alpha_free_at,
  beta_grain_at,
  beta_free_at,
  state_size,
};

using ActivityCurve = boost::math::interpolators::pchip<std::vector<double>>;

// Relative activity of dissolved alpha-amylase. The knots from 40 to 72 C are the sextic quoted in public discussion
// for Brandam et al. 2003, joined by a monotone cubic: the sextic itself loses eight digits to cancellation, rises
// again below 39 C and is negative from 74 C. Knots outside 40..72 C: ours, a smooth fall towards nothing.
double alpha_activity(double temperature_c) {
  static const ActivityCurve curve(
      {0.0, 20.0, 30.0, 40.0, 45.0, 50.0, 55.0, 58.0, 61.0, 63.0, 65.0, 67.0, 69.0, 71.0, 72.0, 74.0, 77.0, 100.0},
      {0.1, 0.4, 0.6, 0.916, 1.801, 3.523, 5.685, 6.770, 7.287, 7.148, 6.538, 5.444, 3.933, 2.189, 1.327, 0.5, 0.1,
       0.0});
  return curve(std::clamp(temperature_c, 0.0, 100.0));
}

// Relative activity of dissolved beta-amylase. Knots from 35 to 69 C: the two straight lines quoted for Brandam et al.
// 2003, with their corner at 62.85 C; the second line crosses zero at 69.8 C, and the remainder beyond is ours.
double beta_activity(double temperature_c) {
  static const ActivityCurve curve({0.0, 20.0, 35.0, 45.0, 55.0, 60.0, 62.85, 65.0, 67.0, 69.0, 72.0, 100.0},
                                   {0.1, 0.6, 1.251, 1.727, 2.202, 2.440, 2.576, 1.787, 1.036, 0.285, 0.0, 0.0});
  return curve(std::clamp(temperature_c, 0.0, 100.0));
}

double gelatinisation_rate_per_s(const MashKineticsParams& params, double temperature_c) {
  return arrhenius_rate_per_s(temperature_c < 60.0 ? params.gelatinisation_below_60 : params.gelatinisation_above_60,
                              temperature_c);
}

// What the right-hand side needs to know.
struct Problem {
  const MashKineticsParams* params;
  MashCharge charge;
  const TemperatureLeg* leg;
};

// Splits `consumed` kg/s of anhydroglucose over the products; weights need not sum to one.
void add_products(double* rate, double consumed, double to_glucose, double to_maltose, double to_maltotriose,
                  double to_dextrin, double limit_share) {
  const double total = to_glucose + to_maltose + to_maltotriose + to_dextrin;
  if (total <= 0.0) return;
  const double unit = consumed / total;
  const double water =
      unit * (to_glucose * glucose_uptake + to_maltose * maltose_uptake + to_maltotriose * maltotriose_uptake);
  rate[glucose_at] += unit * to_glucose * (1.0 + glucose_uptake);
  rate[maltose_at] += unit * to_maltose * (1.0 + maltose_uptake);
  rate[maltotriose_at] += unit * to_maltotriose * (1.0 + maltotriose_uptake);
  rate[dextrin_at] += unit * to_dextrin * (1.0 - limit_share);
  rate[limit_dextrin_at] += unit * to_dextrin * limit_share;
  rate[water_at] += water;
}

int right_hand_side(sunrealtype second, N_Vector state, N_Vector derivative, void* user) {
  const auto& problem = *static_cast<const Problem*>(user);
  const MashKineticsParams& params = *problem.params;
  const double* y = N_VGetArrayPointer(state);
  double* rate = N_VGetArrayPointer(derivative);
  std::fill(rate, rate + state_size, 0.0);
  const double temperature_c = temperature_in_leg_c(*problem.leg, second / seconds_per_minute);

  const double swelling =
      gelatinisation_rate_per_s(params, temperature_c - problem.charge.gelatinisation_shift_c) * y[solid_at];
  rate[solid_at] = -swelling;
  rate[gelatinised_at] = swelling;

  const double alpha = y[alpha_free_at] * problem.charge.alpha_level * alpha_activity(temperature_c);
  const double beta = y[beta_free_at] * problem.charge.beta_level * beta_activity(temperature_c) * params.beta_to_alpha;
  const auto split = [&](State substrate, const AmylolysisSplit& ways, double speed) {
    const double to_glucose = ways.alpha_glucose * alpha;
    const double to_maltose = ways.alpha_maltose * alpha + ways.beta_maltose * beta;
    const double to_maltotriose = ways.alpha_maltotriose * alpha;
    const double to_dextrin = ways.alpha_dextrin * alpha;
    const double consumed = speed * (to_glucose + to_maltose + to_maltotriose + to_dextrin) * y[substrate];
    rate[substrate] -= consumed;
    add_products(rate, consumed, to_glucose, to_maltose, to_maltotriose, to_dextrin, params.limit_dextrin_share);
  };
  split(gelatinised_at, params.starch_split, params.starch_rate);
  split(dextrin_at, params.dextrin_split, params.dextrin_rate);

  const auto enzyme = [&](State grain, State free, const ArrheniusRate& death) {
    const double released = y[grain] / (params.enzyme_release_min * seconds_per_minute);
    rate[grain] = -released;
    rate[free] = released - arrhenius_rate_per_s(death, temperature_c) * y[free];
  };
  enzyme(alpha_grain_at, alpha_free_at, params.alpha_denaturation);
  enzyme(beta_grain_at, beta_free_at, params.beta_denaturation);
  return 0;
}

// SUNDIALS objects are plain C; these close them in the right order whatever happens.
struct ContextCloser {
  void operator()(SUNContext context) const { SUNContext_Free(&context); }
};
struct VectorCloser {
  void operator()(N_Vector vector) const { N_VDestroy(vector); }
};
struct MatrixCloser {
  void operator()(SUNMatrix matrix) const { SUNMatDestroy(matrix); }
};
struct SolverCloser {
  void operator()(SUNLinearSolver solver) const { SUNLinSolFree(solver); }
};
struct CvodeCloser {
  void operator()(void* memory) const { CVodeFree(&memory); }
};
template <class Pointer, class Closer>
using Owned = std::unique_ptr<std::remove_pointer_t<Pointer>, Closer>;

// The text of an error code that CVODE returned.
std::string cvode_error(const char* doing, int code) {
  const std::unique_ptr<char, decltype(&std::free)> name(CVodeGetReturnFlagName(code), &std::free);
  return std::string(doing) + ": " + (name ? name.get() : "unknown error") + " (" + std::to_string(code) + ")";
}

// CVODE set up for one charge; advance() takes it through one leg at a time.
class Integrator {
 public:
  explicit Integrator(Problem& problem) : problem_(problem) {}

  // Empty when all went well, else what failed.
  std::string open() {
    SUNContext context = nullptr;
    if (SUNContext_Create(nullptr, &context) != 0) return "no SUNDIALS context";
    context_.reset(context);
    state_.reset(N_VNew_Serial(state_size, context));
    matrix_.reset(SUNDenseMatrix(state_size, state_size, context));
    if (!state_ || !matrix_) return "no memory for the mash integration";
    N_VConst(0.0, state_.get());
    values()[solid_at] = values()[alpha_grain_at] = values()[beta_grain_at] = 1.0;
    solver_.reset(SUNLinSol_Dense(state_.get(), matrix_.get(), context));
    cvode_.reset(CVodeCreate(CV_BDF, context));
    if (!solver_ || !cvode_) return "no memory for the mash integration";
    CVodeSetErrFile(cvode_.get(), nullptr);  // errors go to the caller, not to the terminal
    int code = CVodeInit(cvode_.get(), right_hand_side, 0.0, state_.get());
    if (code == CV_SUCCESS) code = CVodeSStolerances(cvode_.get(), 1e-8, 1e-11);
    if (code == CV_SUCCESS) code = CVodeSetUserData(cvode_.get(), &problem_);
    if (code == CV_SUCCESS) code = CVodeSetLinearSolver(cvode_.get(), solver_.get(), matrix_.get());
    if (code == CV_SUCCESS) code = CVodeSetMaxNumSteps(cvode_.get(), 20000);
    return code == CV_SUCCESS ? "" : cvode_error("setting up the mash integration", code);
  }

  // Starts a leg at its own second 0 with the state as it stands: the temperature's slope breaks here.
  std::string start_leg(const TemperatureLeg& leg) {
    problem_.leg = &leg;
    int code = CVodeReInit(cvode_.get(), 0.0, state_.get());
    if (code == CV_SUCCESS) code = CVodeSetStopTime(cvode_.get(), leg.duration_min * seconds_per_minute);
    return code == CV_SUCCESS ? "" : cvode_error("starting a leg of the mash", code);
  }

  std::string advance(double minute) {
    double reached = 0.0;
    const int code = CVode(cvode_.get(), minute * seconds_per_minute, state_.get(), &reached, CV_NORMAL);
    return code < 0 ? cvode_error("integrating the mash", code) : "";
  }

  double* values() { return N_VGetArrayPointer(state_.get()); }

 private:
  Problem& problem_;
  Owned<SUNContext, ContextCloser> context_;
  Owned<N_Vector, VectorCloser> state_;
  Owned<SUNMatrix, MatrixCloser> matrix_;
  Owned<SUNLinearSolver, SolverCloser> solver_;
  std::unique_ptr<void, CvodeCloser> cvode_;
};

MashMoment moment_at(double minute, double temperature_c, const double* y) {
  // The integrator may leave -1e-12 where there is nothing.
  const auto at = [y](State place) { return std::max(y[place], 0.0); };
  MashMoment moment;
  moment.minute = minute;
  moment.temperature_c = temperature_c;
  moment.solid_starch = at(solid_at);
  moment.gelatinised_starch = at(gelatinised_at);
  moment.dextrin = at(dextrin_at) + at(limit_dextrin_at);
  moment.glucose = at(glucose_at);
  moment.maltose = at(maltose_at);
  moment.maltotriose = at(maltotriose_at);
  moment.water_bound = at(water_at);
  moment.alpha_active = at(alpha_free_at);
  moment.beta_active = at(beta_free_at);
  return moment;
}

bool within(double value, double low, double high) { return value >= low && value <= high; }  // false for NaN

std::optional<std::string> fault_in_leg(const TemperatureLeg& leg) {
  if (!within(leg.duration_min, 0.0, 1440.0)) return "duration outside 0..1440 min";
  if (!within(leg.start_c, 0.0, 100.0)) return "start temperature outside 0..100 C";
  if (leg.shape == TemperatureLeg::Shape::ramp && !within(leg.end_c, 0.0, 100.0))
    return "end temperature outside 0..100 C";
  if (leg.shape == TemperatureLeg::Shape::cool) {
    if (!within(leg.ambient_c, 0.0, 100.0)) return "ambient temperature outside 0..100 C";
    if (!within(leg.time_constant_min, 1.0, 1e6)) return "time constant outside 1..1e6 min";
  }
  return std::nullopt;
}

std::optional<MashConversion> refusal(const MashCharge& charge, const std::vector<TemperatureLeg>& course,
                                      double report_every_min) {
  const auto refuse = [](MashStatus status, std::string reason) {
    return MashConversion{status, std::move(reason), {}};
  };
  if (course.empty()) return refuse(MashStatus::bad_course, "the course has no legs");
  for (std::size_t i = 0; i < course.size(); ++i) {
    if (const auto fault = fault_in_leg(course[i]))
      return refuse(MashStatus::bad_course, "leg " + std::to_string(i + 1) + ": " + *fault);
  }
  if (!within(report_every_min, 0.01, 1440.0))
    return refuse(MashStatus::bad_course, "report interval outside 0.01..1440 min");
  if (!within(charge.alpha_level, 0.0, 3.0)) return refuse(MashStatus::bad_charge, "alpha_level outside 0..3");
  if (!within(charge.beta_level, 0.0, 3.0)) return refuse(MashStatus::bad_charge, "beta_level outside 0..3");
  if (!within(charge.gelatinisation_shift_c, -15.0, 30.0))
    return refuse(MashStatus::bad_charge, "gelatinisation_shift_c outside -15..30");
  return std::nullopt;
}

// Runs one leg, adding a moment at each report and at its end. `begun` is the minute of the course at which the leg
// starts.
std::string run_leg(Integrator& integrator, const TemperatureLeg& leg, double begun, double report_every_min,
                    std::vector<MashMoment>& moments) {
  if (leg.duration_min == 0.0) return "";
  if (auto fault = integrator.start_leg(leg); !fault.empty()) return fault;
  for (int report = 1;; ++report) {
    const double minute = std::min(report * report_every_min, leg.duration_min);
    if (auto fault = integrator.advance(minute); !fault.empty()) return fault;
    moments.push_back(moment_at(begun + minute, temperature_in_leg_c(leg, minute), integrator.values()));
    if (minute >= leg.duration_min) return "";
  }
}

}  // namespace

TemperatureLeg temperature_hold(double temperature_c, double duration_min) {
  return {TemperatureLeg::Shape::hold, duration_min, temperature_c, temperature_c, 0.0, 0.0};
}
TemperatureLeg temperature_ramp(double start_c, double end_c, double duration_min) {
  return {TemperatureLeg::Shape::ramp, duration_min, start_c, end_c, 0.0, 0.0};
}
TemperatureLeg temperature_cooling(double start_c, double ambient_c, double time_constant_min, double duration_min) {
  return {TemperatureLeg::Shape::cool, duration_min, start_c, start_c, ambient_c, time_constant_min};
}

double temperature_in_leg_c(const TemperatureLeg& leg, double minute) {
  const double within_leg = std::clamp(minute, 0.0, leg.duration_min);
  switch (leg.shape) {
    case TemperatureLeg::Shape::hold: return leg.start_c;
    case TemperatureLeg::Shape::ramp:
      return leg.duration_min > 0.0 ? leg.start_c + (leg.end_c - leg.start_c) * within_leg / leg.duration_min
                                    : leg.end_c;
    case TemperatureLeg::Shape::cool:
      return leg.ambient_c + (leg.start_c - leg.ambient_c) * std::exp(-within_leg / leg.time_constant_min);
  }
  return leg.start_c;
}

double arrhenius_rate_per_s(const ArrheniusRate& rate, double temperature_c) {
  return rate.frequency_per_s * std::exp(-rate.energy_j_per_mol / (8.314 * (temperature_c + kelvin_at_zero_c)));
}

double MashMoment::fermentable_share() const {
  const double dissolved = fermentable() + dextrin;
  return dissolved > 0.0 ? fermentable() / dissolved : 0.0;
}

MashConversion mash_conversion_brandam(const MashCharge& charge, const std::vector<TemperatureLeg>& course,
                                       double report_every_min, const MashKineticsParams& params) {
  if (auto refused = refusal(charge, course, report_every_min)) return *refused;
  Problem problem{&params, charge, &course.front()};
  Integrator integrator(problem);
  if (auto fault = integrator.open(); !fault.empty()) return {MashStatus::integration_failed, fault, {}};
  MashConversion conversion;
  conversion.moments.push_back(moment_at(0.0, course.front().start_c, integrator.values()));
  double begun = 0.0;
  for (const TemperatureLeg& leg : course) {
    if (auto fault = run_leg(integrator, leg, begun, report_every_min, conversion.moments); !fault.empty()) {
      return {MashStatus::integration_failed, fault, {}};
    }
    begun += leg.duration_min;
  }
  return conversion;
}

double mash_apparent_attenuation_limit(const MashMoment& moment) {
  constexpr double starch_in_malt = 0.60, sugar_in_malt = 0.07, other_extract_in_malt = 0.08;
  const double fermentable = starch_in_malt * moment.fermentable() + sugar_in_malt;
  const double extract = fermentable + starch_in_malt * moment.dextrin + other_extract_in_malt;
  constexpr double real_per_apparent = 0.81;
  return fermentable / extract / real_per_apparent;
}

}  // namespace oddgrist::science
