#include "gyle/watch.hpp"

#include <algorithm>
#include <array>
#include <cmath>

#include <fmt/format.h>

#include "gyle/watch_bottling.hpp"
#include "gyle/watch_fit.hpp"
#include "gyle/watch_readings.hpp"
#include "gyle/watch_words.hpp"
#include "quantity/gravity.hpp"
#include "science/balling.hpp"

namespace oddgrist::gyle {
namespace {

using process::FermentationCourse;

constexpr std::size_t draw_count = 768, node_count = 512;
constexpr double hour_limit = process::course_days * 24.0;

// ---- What is believed before any reading

double deviation_of(double low, double high, double least) {
  constexpr double of_80_percent = 2.0 * 1.2816;
  return std::max((high - low) / of_80_percent, least);
}

struct Gravity80 {
  double usual = 0.0, deviation = 0.0;
};

// Own estimates of the least doubt: start 0.002 (a volume misread by four per cent), end 0.0015 (two per cent of attenuation).
Gravity80 start_prior(const FermentationCourse& course, const compose::Proposal& proposal) {
  return {course.original_gravity_sg,
          deviation_of(proposal.original_gravity_sg.low, proposal.original_gravity_sg.high, 0.002)};
}

// A yeast that its alcohol stops ends where the course does, not where the sugars would.
Gravity80 end_prior(const FermentationCourse& course) {
  const bool stopped =
      course.status == process::CourseStatus::stopped_by_alcohol && !course.points.empty() && !course.dose;
  const double usual = stopped ? course.points.back().gravity_sg.usual : course.first_end_sg.usual;
  return {usual, deviation_of(course.first_end_sg.low, course.first_end_sg.high, 0.0015)};
}

std::size_t dose_point(const FermentationCourse& course) {
  if (!course.dose || !course.dose->hour.usual) return course.points.size();
  const auto at = static_cast<std::size_t>(std::lround(*course.dose->hour.usual / process::course_step_hours));
  return std::min(at, course.points.size());
}

void set_dose(const FermentationCourse& course, FermentScene& scene) {
  const std::size_t at = dose_point(course);
  if (!course.dose || at >= course.points.size()) return;
  std::vector<double> gravities;
  for (std::size_t i = at; i < course.points.size(); ++i) gravities.push_back(course.points[i].gravity_sg.usual);
  const double end = course.end_sg.usual;
  scene.second = FallShape(gravities, gravities.front(), end);
  scene.dose_rise_sg = course.dose->rise_sg;
  scene.dose_fall_sg = course.first_end_sg.usual + course.dose->rise_sg - end;
}

std::vector<WarmClock::Point> temperatures(std::span<const TimedReading> readings, Instant pitched) {
  std::vector<WarmClock::Point> points;
  for (const TimedReading& timed : readings) {
    const Reading& reading = timed.reading;
    if (reading.sight != Sight::temperature || reading.stage != Stage::fermenter) continue;
    if (!(reading.value >= -2.0 && reading.value <= 45.0)) continue;
    points.push_back({hours_since(pitched, timed.at), reading.value});
  }
  std::stable_sort(points.begin(), points.end(), [](const auto& a, const auto& b) { return a.hour < b.hour; });
  return points;
}

FermentScene scene_of(const FermentationCourse& course, const compose::Proposal& proposal,
                      std::span<const TimedReading> readings, Instant pitched, Instant now, const WatchFacts& facts) {
  FermentScene scene;
  const Gravity80 start = start_prior(course, proposal), end = end_prior(course);
  std::vector<double> gravities;
  for (std::size_t i = 0; i < dose_point(course); ++i) gravities.push_back(course.points[i].gravity_sg.usual);
  scene.first = FallShape(gravities, start.usual, end.usual);
  scene.clock = WarmClock(course.temperature_c, temperatures(readings, pitched));
  set_dose(course, scene);
  if (facts.dosed && course.dose) scene.dosed_hour = std::max(hours_since(pitched, *facts.dosed), 0.0);
  // The end moves with the start: what is doubted is the attenuation.
  const double kept = std::clamp((end.usual - 1.0) / std::max(start.usual - 1.0, 0.002), -0.2, 0.9);
  const double start_variance = start.deviation * start.deviation;
  constexpr double dose_deviation = 0.15;
  scene.mean = Gravities(start.usual, end.usual, 1.0);
  scene.covariance.setZero();
  scene.covariance(0, 0) = start_variance;
  scene.covariance(0, 1) = scene.covariance(1, 0) = kept * start_variance;
  scene.covariance(1, 1) = kept * kept * start_variance + end.deviation * end.deviation;
  scene.covariance(2, 2) = dose_deviation * dose_deviation;
  scene.now_hour = std::clamp(hours_since(pitched, now), 0.0, hour_limit);
  return scene;
}

// ---- How it stands

constexpr double slow_pace = 0.5;        // of the usual
constexpr double long_lag_hours = 36.0;  // common practice, no source: a healthy pitch shows within a day or so

FermentState state_of(const FermentScene& scene, const FermentDraw& draw) {
  const double hour = scene.now_hour;
  const double done = share_done(scene, draw, hour);
  if (draw.tale == FermentTale::goes_on && gone_on_sg(draw, hour) > 0.5 * process::near_end_sg) {
    return FermentState::refermenting;
  }
  if (draw.tale == FermentTale::stops_early && done >= draw.stops_at) return FermentState::stuck;
  const double fall = draw.gravities[0] - draw.gravities[1];
  const bool first_done = (1.0 - done) * fall < finished_within_sg;
  if (scene.dosed_hour && hour >= *scene.dosed_hour) {
    const double left =
        std::abs(scene.dose_fall_sg * draw.gravities[2]) * (1.0 - share_of_dose_done(scene, draw, hour));
    if (left >= finished_within_sg) return FermentState::refermenting;
  }
  if (first_done) return FermentState::finished;
  if (done < 0.02) return FermentState::lag;
  return draw.pace < slow_pace || draw.lag_hours > long_lag_hours ? FermentState::slow : FermentState::as_expected;
}

double& chance_in(StateChances& chances, FermentState state) {
  switch (state) {
    case FermentState::lag: return chances.lag;
    case FermentState::slow: return chances.slow;
    case FermentState::stuck: return chances.stuck;
    case FermentState::finished: return chances.finished;
    case FermentState::refermenting: return chances.refermenting;
    case FermentState::cannot_tell:
    case FermentState::unread:
    case FermentState::as_expected: break;
  }
  return chances.as_expected;
}

void judge_state(const FermentScene& scene, std::span<const FermentDraw> draws, Watch& watch) {
  for (const FermentDraw& draw : draws) {
    chance_in(watch.chances, state_of(scene, draw)) += 1.0 / static_cast<double>(draws.size());
  }
  watch.state = FermentState::as_expected;
  for (const FermentState state : {FermentState::lag, FermentState::slow, FermentState::stuck, FermentState::finished,
                                   FermentState::refermenting}) {
    if (chance_in(watch.chances, state) > chance_in(watch.chances, watch.state)) watch.state = state;
  }
  watch.chance = chance_in(watch.chances, watch.state);
  if (watch.watched.empty()) watch.state = FermentState::unread;
}

// ---- Figures

template <class Figure>
Band band_over(std::span<const FermentDraw> draws, Figure figure) {
  std::vector<double> values;
  values.reserve(draws.size());
  for (const FermentDraw& draw : draws) values.push_back(figure(draw));
  return band_of(std::move(values));
}

double where_it_ends(const FermentScene& scene, const FermentDraw& draw) {
  return gravity_at(scene, draw, hour_limit * 4.0);
}

double abv_percent(double start_sg, double now_sg) {
  return 100.0 * std::max(science::alcohol_volume_fraction_balling(start_sg, std::min(now_sg, start_sg)), 0.0);
}

void set_finish(const FermentScene& scene, std::span<const FermentDraw> draws, Watch& watch) {
  std::vector<double> hours;
  for (const FermentDraw& draw : draws) {
    if (const auto hour = finished_hour(scene, draw)) hours.push_back(*hour);
  }
  watch.never_share = 1.0 - static_cast<double>(hours.size()) / static_cast<double>(draws.size());
  if (hours.size() * 10 >= draws.size()) watch.finished_hour = band_of(std::move(hours));
}

// From the pitch to two days past the end, or past now.
void set_curve(const FermentScene& scene, std::span<const FermentDraw> draws, Watch& watch) {
  const double end = watch.finished_hour ? watch.finished_hour->high : scene.now_hour + 240.0;
  const double last = std::min(std::max(end, scene.now_hour) + 48.0, hour_limit);
  const double step = std::max(6.0, 6.0 * std::ceil(last / (6.0 * 96.0)));
  for (double hour = 0.0; hour < last + step; hour += step) {
    watch.curve.push_back(
        {hour, band_over(draws, [&](const FermentDraw& draw) { return gravity_at(scene, draw, hour); })});
  }
}

void set_figures(const FermentScene& scene, std::span<const FermentDraw> draws, Watch& watch) {
  watch.gravity_now_sg =
      band_over(draws, [&](const FermentDraw& draw) { return gravity_at(scene, draw, scene.now_hour); });
  watch.start_sg = band_over(draws, [](const FermentDraw& draw) { return draw.gravities[0]; });
  watch.end_sg = band_over(draws, [&](const FermentDraw& draw) { return where_it_ends(scene, draw); });
  watch.pace = band_over(draws, [](const FermentDraw& draw) { return draw.pace; });
  watch.abv_percent_now = band_over(draws, [&](const FermentDraw& draw) {
    return abv_percent(draw.gravities[0], gravity_at(scene, draw, scene.now_hour));
  });
}

// ---- The next reading

// What one would like to know: whether it ends by itself, and how soon.
std::size_t outcome_of(const FermentScene& scene, const FermentDraw& draw) {
  if (draw.tale == FermentTale::stops_early) return 4;
  const auto hour = finished_hour(scene, draw);
  if (!hour) return 5;
  const double wait = *hour - scene.now_hour;
  return wait < 24.0 ? 0 : wait < 72.0 ? 1 : wait < 168.0 ? 2 : 3;
}

double entropy_bits(std::span<const double> weights) {
  double sum = 0.0, bits = 0.0;
  for (double weight : weights) sum += weight;
  for (double weight : weights) {
    if (weight > 0.0) bits -= weight / sum * std::log2(weight / sum);
  }
  return bits;
}

// Bits that a hydrometer at this hour would tell about the outcome: readings sorted into half thousandths, each draw spread over the
// neighbours as the instrument errs.
double information_bits(const FermentScene& scene, std::span<const FermentDraw> draws,
                        std::span<const std::size_t> outcomes, double hour) {
  constexpr double bin_sg = 0.0005, first_sg = 0.98;
  constexpr int bins = 400, reach = 5;
  constexpr std::size_t outcome_count = 6;
  static_assert(bins * bin_sg > 0.19);
  std::vector<std::array<double, outcome_count>> table(bins);
  std::array<double, outcome_count> all{};
  for (std::size_t i = 0; i < draws.size(); ++i) {
    const double at = (gravity_at(scene, draws[i], hour) - first_sg) / bin_sg;
    const int middle = static_cast<int>(std::floor(at));
    for (int bin = std::max(middle - reach, 0); bin <= std::min(middle + reach, bins - 1); ++bin) {
      const double z = (static_cast<double>(bin) + 0.5 - at) * bin_sg / hydrometer_deviation_sg;
      const double part = std::exp(-0.5 * z * z);
      table[static_cast<std::size_t>(bin)][outcomes[i]] += part;
      all[outcomes[i]] += part;
    }
  }
  double whole = 0.0, left = 0.0;
  for (double weight : all) whole += weight;
  if (!(whole > 0.0)) return 0.0;
  for (const auto& row : table) {
    double sum = 0.0;
    for (double weight : row) sum += weight;
    if (sum > 0.0) left += sum / whole * entropy_bits(row);
  }
  return std::max(entropy_bits(all) - left, 0.0);
}

Instant at_hour(Instant pitched, double hour) {
  return pitched + std::chrono::hours(std::lround(std::clamp(hour, 0.0, 1e6)));
}

const WatchedReading* last_sound(const Watch& watch) {
  for (auto reading = watch.watched.rbegin(); reading != watch.watched.rend(); ++reading) {
    if (!reading->questioned) return &*reading;
  }
  return nullptr;
}

NextReading next_reading(const FermentScene& scene, std::span<const FermentDraw> draws, const Watch& watch,
                         const Bottling& bottling) {
  NextReading next;
  std::vector<std::size_t> outcomes;
  for (const FermentDraw& draw : draws) outcomes.push_back(outcome_of(scene, draw));
  const auto bits_at = [&](double wait) { return information_bits(scene, draws, outcomes, scene.now_hour + wait); };
  const WatchedReading* last = last_sound(watch);
  const bool doubted_last = !watch.questions.empty() && !watch.watched.empty() && watch.watched.back().questioned;
  if (watch.watched.empty() || doubted_last) {
    next.at = at_hour(watch.pitched, std::ceil(scene.now_hour));
    next.information_bits = bits_at(0.0);
    next.why = doubted_last ? "Now, once more: the last reading does not fit." : "Now: nothing has been read yet.";
    return next;
  }
  if (bottling.verdict == CloseUp::yes) {
    next.at = at_hour(watch.pitched, std::ceil(scene.now_hour));
    next.why = "On the day it is closed, once more: still alike, or wait.";
    return next;
  }
  if (watch.state == FermentState::finished && last != nullptr) {
    const double first_alike = last->hour - bottling.steady_hours;
    const double alike_enough = first_alike + bottling.wanted_hours;
    const double hour = alike_enough > scene.now_hour ? alike_enough : scene.now_hour + steady_hours_usual;
    next.at = at_hour(watch.pitched, std::ceil(hour));
    next.information_bits = bits_at(hour - scene.now_hour);
    next.why = fmt::format("Then {:.0f} days lie between two readings: alike, they say that it stands still.",
                           (hour - first_alike) / 24.0);
    return next;
  }
  if (watch.state == FermentState::stuck) {
    next.at = at_hour(watch.pitched, std::ceil(scene.now_hour + 48.0));
    next.information_bits = bits_at(48.0);
    next.why = "Two days after it was warmed and stirred up: does it fall again?";
    return next;
  }
  constexpr std::array<double, 9> waits = {12.0, 18.0, 24.0, 36.0, 48.0, 72.0, 96.0, 120.0, 168.0};
  std::array<double, waits.size()> bits{};
  for (std::size_t i = 0; i < waits.size(); ++i) bits[i] = bits_at(waits[i]);
  const double most = *std::max_element(bits.begin(), bits.end());
  // The soonest that tells nearly as much as the best: a brewer would rather know early.
  std::size_t chosen = 0;
  while (bits[chosen] < 0.7 * most) ++chosen;
  next.at = at_hour(watch.pitched, std::ceil(scene.now_hour + waits[chosen]));
  next.information_bits = bits[chosen];
  next.why = "Then a reading tells most about when, and whether, it will be finished.";
  return next;
}

// ---- Late sugar

bool goes_in_late(const compose::Addition& addition) {
  using larder::IngredientKind;
  const bool sugary = addition.kind == IngredientKind::food || addition.kind == IngredientKind::sugar;
  return sugary && (addition.route == compose::Route::fermenter || addition.route == compose::Route::infusion);
}

ClosingUp closing_of(const compose::Brief& brief, const compose::Proposal& proposal, const FermentationCourse& course,
                     const WatchFacts& facts) {
  ClosingUp closing{course, brief.carbonation_volumes, false, {}, course.dose.has_value() && !facts.dosed};
  if (proposal.yeast.yeast && proposal.yeast.yeast->dextrin_uptake > 0.0) {
    closing.long_wait = true;
    closing.long_wait_why = "this yeast works on dextrins for weeks";
  } else if (course.dose || std::any_of(proposal.additions.begin(), proposal.additions.end(), goes_in_late)) {
    closing.long_wait = true;
    closing.long_wait_why = "what went into the fermenter gives up its sugar slowly";
  }
  return closing;
}

void take_into(const std::vector<TakenFall>& taken, const std::vector<Question>& questions, Watch& watch) {
  for (const TakenFall& one : taken) {
    const bool questioned = std::any_of(questions.begin(), questions.end(),
                                        [&](const Question& question) { return question.index == one.index; });
    watch.watched.push_back(
        {one.index, one.sighting.hour, one.sighting.gravity_sg, one.sighting.deviation_sg, questioned});
  }
}

Instant pitch_of(std::span<const TimedReading> readings, Instant now, const WatchFacts& facts) {
  if (facts.pitched) return *facts.pitched;
  Instant first = now;
  for (const TimedReading& timed : readings) first = std::min(first, timed.at);
  return first;
}

bool has_refraction(std::span<const TakenFall> taken) {
  return std::any_of(taken.begin(), taken.end(), [](const TakenFall& one) { return one.sight == Sight::refraction; });
}

}  // namespace

Watch watch_of(const compose::Brief& brief, const compose::Proposal& proposal, std::span<const TimedReading> readings,
               Instant now, const WatchFacts& facts) {
  Watch watch;
  watch.pitched = pitch_of(readings, now, facts);
  watch.hour = std::max(hours_since(watch.pitched, now), 0.0);
  watch.questions = question_plain(readings, watch.pitched);
  const FermentationCourse course = process::fermentation_course(proposal.plan, proposal.yeast);
  const bool falls = course.points.size() > 8 && course.original_gravity_sg - course.first_end_sg.usual > 0.003;
  if (!falls) {
    watch.reasons = {"There is no fermentation to follow in this recipe: no yeast, or nothing it can ferment."};
    return watch;
  }
  // What was read after now is for a later watch.
  std::vector<TimedReading> past(readings.begin(), readings.end());
  for (TimedReading& timed : past) {
    if (timed.at > now) timed.reading.stage = Stage::planned;
  }
  const FermentScene scene = scene_of(course, proposal, past, watch.pitched, now, facts);
  std::vector<TakenFall> taken = take_falls(past, watch.pitched, scene.mean[0]);
  std::vector<FermentDraw> draws =
      draw_fermentations(scene, fall_sightings_of(taken, without_none), draw_count, node_count);
  if (has_refraction(taken)) {
    // Once more, with the start gravity the readings have taught.
    const double start = band_over(draws, [](const FermentDraw& draw) { return draw.gravities[0]; }).median;
    taken = take_falls(past, watch.pitched, start);
    draws = draw_fermentations(scene, fall_sightings_of(taken, without_none), draw_count, node_count);
  }
  std::vector<Question> doubts = question_readings(scene, past, taken, draws, course.end_sg.low);
  take_into(taken, doubts, watch);
  watch.questions.insert(watch.questions.end(), doubts.begin(), doubts.end());
  judge_state(scene, draws, watch);
  set_figures(scene, draws, watch);
  set_finish(scene, draws, watch);
  set_curve(scene, draws, watch);
  watch.bottling = bottling_of(scene, draws, watch, facts, closing_of(brief, proposal, course, facts));
  watch.next = next_reading(scene, draws, watch, watch.bottling);
  watch.reasons = watch_reasons({course, proposal, past, facts}, watch);
  return watch;
}

}  // namespace oddgrist::gyle
