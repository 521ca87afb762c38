#include "files/watch_json.hpp"

#include <array>
#include <chrono>
#include <cmath>

#include "gyle/local_time.hpp"

namespace oddgrist::files {
namespace {

using gyle::local_time_text;

constexpr std::array all_container_names = std::to_array<ContainerName>({
    {"one-way-glass", science::Container::one_way_glass},
    {"returnable-glass", science::Container::returnable_glass},
    {"sparkling-wine-glass", science::Container::sparkling_wine_glass},
    {"pet", science::Container::soft_drink_pet},
    {"ball-lock-keg", science::Container::ball_lock_keg},
    {"draught-keg", science::Container::draught_keg},
    {"unknown-glass", science::Container::unknown_glass},
});

std::string_view name_of(science::Container container) {
  for (const ContainerName& each : all_container_names) {
    if (each.container == container) return each.name;
  }
  return "unknown-glass";
}

std::string_view name_of(gyle::FermentState state) {
  switch (state) {
    case gyle::FermentState::cannot_tell: return "cannot-tell";
    case gyle::FermentState::unread: return "unread";
    case gyle::FermentState::lag: return "lag";
    case gyle::FermentState::as_expected: return "as-expected";
    case gyle::FermentState::slow: return "slow";
    case gyle::FermentState::stuck: return "stuck";
    case gyle::FermentState::finished: return "finished";
    case gyle::FermentState::refermenting: return "refermenting";
  }
  return "cannot-tell";
}

std::string_view name_of(gyle::CloseUp verdict) {
  switch (verdict) {
    case gyle::CloseUp::not_yet: return "not-yet";
    case gyle::CloseUp::yes: return "yes";
    case gyle::CloseUp::danger: return "danger";
  }
  return "not-yet";
}

Json band_json(const gyle::Band& band) { return Json{{"low", band.low}, {"median", band.median}, {"high", band.high}}; }

Json questions_json(std::span<const gyle::TimedReading> readings, const gyle::Watch& watch, QuestionWords words) {
  Json questions = Json::array();
  for (const gyle::Question& question : watch.questions) {
    questions.push_back(Json{{"reading", question.index},
                             {"what", question.what},
                             {"chance", question.chance},
                             {"fits", question.fits ? band_json(*question.fits) : Json(nullptr)},
                             {"likely_mistake", question.likely_mistake},
                             {"likely_value", question.likely_value ? Json(*question.likely_value) : Json(nullptr)},
                             {"words", words(readings, question)}});
  }
  return questions;
}

Json bottling_json(const gyle::Bottling& bottling) {
  Json containers = Json::array();
  for (const gyle::ContainerChance& chance : bottling.containers) {
    containers.push_back(Json{{"container", name_of(chance.container)},
                              {"rating_bar", chance.rating_bar},
                              {"pressure_bar", band_json(chance.pressure_bar)},
                              {"over_rating", chance.over_rating},
                              {"far_over", chance.far_over}});
  }
  return Json{{"verdict", name_of(bottling.verdict)},
              {"reasons", bottling.reasons},
              {"volumes_to_come", band_json(bottling.volumes_to_come)},
              {"steady_hours", bottling.steady_hours},
              {"wanted_hours", bottling.wanted_hours},
              {"containers", std::move(containers)}};
}

Json time_of(const gyle::Watch& watch, double hour) {
  return local_time_text(watch.pitched + std::chrono::minutes(std::lround(hour * 60.0)));
}

Json finish_json(const gyle::Watch& watch) {
  if (!watch.finished_hour) return nullptr;
  return Json{{"soonest", time_of(watch, watch.finished_hour->low)},
              {"median", time_of(watch, watch.finished_hour->median)},
              {"latest", time_of(watch, watch.finished_hour->high)}};
}

}  // namespace

std::span<const ContainerName> container_names() { return all_container_names; }

std::optional<science::Container> container_named(std::string_view name) {
  for (const ContainerName& each : all_container_names) {
    if (each.name == name) return each.container;
  }
  return std::nullopt;
}

Json watch_json(const compose::Brief& brief, const compose::Proposal& proposal,
                std::span<const gyle::TimedReading> readings, const gyle::Watch& watch, QuestionWords words) {
  Json watched = Json::array(), curve = Json::array();
  for (const gyle::WatchedReading& seen : watch.watched) {
    watched.push_back(Json{{"reading", seen.index},
                           {"time", local_time_text(readings[seen.index].at)},
                           {"hour", seen.hour},
                           {"gravity_sg", seen.gravity_sg},
                           {"deviation_sg", seen.deviation_sg},
                           {"questioned", seen.questioned}});
  }
  for (const gyle::WatchPoint& point : watch.curve) {
    curve.push_back(Json{{"hour", point.hour}, {"gravity_sg", band_json(point.gravity_sg)}});
  }
  const gyle::StateChances& c = watch.chances;
  Json document{{"name", brief.name},
                {"yeast", proposal.yeast.name},
                {"pitched", local_time_text(watch.pitched)},
                {"hour", watch.hour},
                {"state", name_of(watch.state)},
                {"chance", watch.chance},
                {"chances",
                 {{"lag", c.lag},
                  {"as_expected", c.as_expected},
                  {"slow", c.slow},
                  {"stuck", c.stuck},
                  {"finished", c.finished},
                  {"refermenting", c.refermenting}}},
                {"reasons", watch.reasons},
                {"questions", questions_json(readings, watch, words)}};
  if (watch.state == gyle::FermentState::cannot_tell) return document;
  document["gravity_now_sg"] = band_json(watch.gravity_now_sg);
  document["start_sg"] = band_json(watch.start_sg);
  document["end_sg"] = band_json(watch.end_sg);
  document["alcohol_now_percent_vol"] = band_json(watch.abv_percent_now);
  document["pace"] = band_json(watch.pace);
  document["finished"] = finish_json(watch);
  document["never_share"] = watch.never_share;
  document["next"] = watch.next ? Json{{"time", local_time_text(watch.next->at)},
                                       {"why", watch.next->why},
                                       {"information_bits", watch.next->information_bits}}
                                : Json(nullptr);
  document["bottling"] = bottling_json(watch.bottling);
  document["watched"] = std::move(watched);
  document["curve"] = std::move(curve);
  return document;
}

}  // namespace oddgrist::files
