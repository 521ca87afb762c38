#include "gyle/replan.hpp"

#include <algorithm>
#include <array>
#include <cmath>
#include <utility>

#include "gyle/lever.hpp"
#include "process/package.hpp"

namespace oddgrist::gyle {
namespace {

using Kind = Part::Kind;

// Points of the belief: a move is sized on a few, ranked and judged on all. The first is the mode.
constexpr int sizing_points = 6, all_points = 65;
constexpr int grid = 5, golden_rounds = 5;
constexpr double golden = 0.6180339887498949;
constexpr std::size_t most_firsts = 2, most_pairs = 4, most_looked_at = 10, most_moves = 8;
constexpr std::array smaller_shares = {0.7, 0.45, 0.25, 0.1};

struct Candidate {
  Changes changes;
  double loss = 0.0;  // mean over the sizing points
};

class Search {
 public:
  explicit Search(Bench& bench) : bench_(bench), none_(bench.levers().size(), 0.0) {}

  // Moves worth a look, best first by the sizing points; doing nothing is not among them.
  std::vector<Candidate> candidates() {
    const double idle = mean(none_);
    std::vector<Candidate> singles;
    for (std::size_t i = 0; i < none_.size(); ++i) {
      Candidate one{none_, idle};
      size(one, i, 0, sizing_points);
      if (one.loss < idle - 1e-6) singles.push_back(std::move(one));
    }
    sort(singles);
    std::vector<Candidate> found = singles;
    std::vector<Candidate> pairs;
    for (std::size_t f = 0; f < std::min(most_firsts, singles.size()); ++f) add_pairs(singles[f], pairs);
    sort(pairs);
    if (pairs.size() > most_pairs) pairs.resize(most_pairs);
    for (Candidate& pair : pairs) polish(pair);
    sort(pairs);
    found.insert(found.end(), pairs.begin(), pairs.end());
    if (!pairs.empty()) {
      std::vector<Candidate> triples;
      add_pairs(pairs.front(), triples);
      sort(triples);
      if (triples.size() > 2) triples.resize(2);
      for (Candidate& triple : triples) polish(triple);
      found.insert(found.end(), triples.begin(), triples.end());
    }
    sort(found);
    return found;
  }

 private:
  static void sort(std::vector<Candidate>& list) {
    std::stable_sort(list.begin(), list.end(), [](const auto& a, const auto& b) { return a.loss < b.loss; });
  }
  double mean(const Changes& changes) { return bench_.mean_loss(changes, 0, sizing_points); }

  // The best change of one lever, the others as they are: a coarse grid, then golden section about its best point, then the lever's
  // own steps.
  void size(Candidate& candidate, std::size_t lever, std::size_t first, std::size_t count) {
    const Lever& about = bench_.levers()[lever];
    const auto loss = [&](double change) {
      candidate.changes[lever] = change;
      return bench_.mean_loss(candidate.changes, first, count);
    };
    double best = candidate.changes[lever];
    double least = loss(best);
    const auto consider = [&](double change) {
      const double here = loss(change);
      if (here < least) least = here, best = change;
      return here;
    };
    const double width = (about.high - about.low) / grid;
    for (int i = 0; i <= grid; ++i) consider(snapped(about, about.low + width * i));
    double low = std::max(about.low, best - width), high = std::min(about.high, best + width);
    if (high - low > 2.0 * about.step) {
      double left = high - golden * (high - low), right = low + golden * (high - low);
      double at_left = loss(left), at_right = loss(right);
      for (int round = 0; round < golden_rounds && high - low > about.step; ++round) {
        if (at_left < at_right) {
          high = right, right = left, at_right = at_left;
          left = high - golden * (high - low), at_left = loss(left);
        } else {
          low = left, left = right, at_left = at_right;
          right = low + golden * (high - low), at_right = loss(right);
        }
      }
      consider(snapped(about, 0.5 * (low + high)));
    }
    candidate.changes[lever] = best;
    candidate.loss = least;
  }

  static double snapped(const Lever& lever, double change) {
    const double steps = std::round(change / lever.step);
    const double least = std::ceil(lever.low / lever.step - 1e-9), most = std::floor(lever.high / lever.step + 1e-9);
    const double snapped = std::clamp(steps, least, most) * lever.step;
    // All of what was planned may be left out, even if it is no whole number of steps.
    return change <= lever.low + 1e-12 ? lever.low : std::abs(snapped) < 1e-12 ? 0.0 : snapped;
  }

  // One more lever beside those that are moved, sized at the mode only, the first one then once more.
  void add_pairs(const Candidate& from, std::vector<Candidate>& pairs) {
    Candidate start = from;
    start.loss = bench_.mean_loss(from.changes, 0, 1);
    for (std::size_t i = 0; i < none_.size(); ++i) {
      if (from.changes[i] != 0.0) continue;
      Candidate pair = start;
      size(pair, i, 0, 1);
      if (pair.changes[i] == 0.0) continue;
      for (std::size_t k = 0; k < none_.size(); ++k) {
        if (from.changes[k] != 0.0) size(pair, k, 0, 1);
      }
      size(pair, i, 0, 1);
      if (pair.loss < start.loss - 1e-6 && pair.changes[i] != 0.0) pairs.push_back(std::move(pair));
    }
  }
  void polish(Candidate& candidate) {
    for (std::size_t i = 0; i < none_.size(); ++i) {
      if (candidate.changes[i] != 0.0) size(candidate, i, 0, sizing_points);
    }
    candidate.loss = mean(candidate.changes);
  }

  Bench& bench_;
  Changes none_;
};

std::vector<Risk> risks_of(const std::vector<Part>& parts) {
  std::vector<Risk> risks;
  const auto add = [&](Risk risk) {
    if (std::find(risks.begin(), risks.end(), risk) == risks.end()) risks.push_back(risk);
  };
  for (const Part& part : parts) {
    switch (part.kind) {
      case Kind::boil: add(part.change > 0.0 ? Risk::boil_over : Risk::thin_boil); break;
      case Kind::water_in_kettle:
        if (part.change > 0.0) add(Risk::scald);
        break;
      case Kind::water_in_fermenter: add(Risk::infection); break;
      case Kind::sugar:
        add(part.into == compose::Recipe::Into::kettle ? Risk::scald : Risk::infection);
        if (part.change > 0.0) add(Risk::dries_out);
        break;
      case Kind::hop:
      case Kind::hop_shift: break;
      case Kind::oddment: add(Risk::infection); break;
      case Kind::prime:
        if (part.change > 0.0) add(Risk::bottle_pressure);
        break;
      case Kind::wait: break;
    }
  }
  return risks;
}

// Minutes of work; common practice, no source.
double work_minutes(const Part& part) {
  switch (part.kind) {
    case Kind::boil: return std::max(0.0, part.change);
    case Kind::water_in_kettle: return part.change > 0.0 ? 10.0 : 0.0;
    case Kind::water_in_fermenter: return 30.0;
    case Kind::sugar: return part.into == compose::Recipe::Into::kettle ? 5.0 : 20.0;
    case Kind::oddment: return 5.0;
    case Kind::hop:
    case Kind::hop_shift:
    case Kind::prime: return 2.0;
    case Kind::wait: return 10.0;
  }
  return 0.0;
}

double quantile_of_sorted(const std::vector<double>& sorted, double share) {
  const double place = share * static_cast<double>(sorted.size() - 1);
  const auto below = static_cast<std::size_t>(place);
  return std::lerp(sorted[below], sorted[std::min(below + 1, sorted.size() - 1)], place - std::floor(place));
}

class Ranking {
 public:
  explicit Ranking(Bench& bench) : bench_(bench) {
    const Changes none(bench.levers().size(), 0.0);
    for (std::size_t p = 0; p < bench.points(); ++p) idle_.push_back(bench.loss(none, p));
  }

  Move move_of(const Changes& changes) {
    Move move;
    double worse = 0.0, idle = 0.0;
    std::array<std::vector<double>, told_count> seen;
    for (std::size_t p = 0; p < bench_.points(); ++p) {
      const double loss = bench_.loss(changes, p);
      const Upcome& upcome = bench_.last();
      for (std::size_t t = 0; t < seen.size(); ++t) seen[t].push_back(told_by(upcome, static_cast<Told>(t)));
      move.loss += loss;
      idle += idle_[p];
      move.worst = std::max(move.worst, loss - idle_[p]);
      worse += loss > idle_[p] + 1e-9 ? 1.0 : 0.0;
    }
    const auto count = static_cast<double>(bench_.points());
    move.loss /= count;
    move.gain = idle / count - move.loss;
    move.chance_worse = worse / count;
    for (std::size_t t = 0; t < seen.size(); ++t) {
      std::sort(seen[t].begin(), seen[t].end());
      move.outlook[t] = {quantile_of_sorted(seen[t], 0.5), quantile_of_sorted(seen[t], 0.1),
                         quantile_of_sorted(seen[t], 0.9)};
    }
    for (std::size_t i = 0; i < changes.size(); ++i) {
      if (changes[i] != 0.0) move.parts.push_back(bench_.part_of(i, changes));
    }
    for (const Part& part : move.parts) move.work_minutes += work_minutes(part);
    move.money = bench_.money_of(changes);
    move.risks = risks_of(move.parts);
    move.entries = bench_.entries_of(changes);
    return move;
  }

  // Of the move and smaller ones of the same kind the one to offer; the whole of it if none is worth while.
  Move offered_of(const Changes& changes) {
    std::vector<Move> sizes{move_of(changes)};
    for (double share : smaller_shares) {
      const Changes less = smaller(changes, share);
      if (less != changes && is_any(less)) sizes.push_back(move_of(less));
    }
    const std::size_t best = surest_of(sizes);
    return std::move(sizes[best < sizes.size() ? best : 0]);
  }

  static bool is_worth_while(const Move& move) {
    const bool more_oddment = std::any_of(move.parts.begin(), move.parts.end(), [](const Part& part) {
      return part.kind == Part::Kind::oddment && part.change > 0.0;
    });
    if (more_oddment && move.gain < least_share_for_an_oddment * (move.loss + move.gain)) return false;
    return move.gain >= least_gain && move.chance_worse <= most_chance_worse && move.worst <= most_worse;
  }

  // Of the moves that are worth while and gain at least a share of what the best of them gains, the one least likely to be the worse
  // choice. The size of the list: none is worth while.
  static std::size_t surest_of(const std::vector<Move>& moves) {
    double most = 0.0;
    for (const Move& move : moves) most = is_worth_while(move) ? std::max(most, move.gain) : most;
    std::size_t best = moves.size();
    for (std::size_t i = 0; i < moves.size(); ++i) {
      if (!is_worth_while(moves[i]) || moves[i].gain < share_of_best_gain * most) continue;
      const auto rank = [](const Move& move) { return std::pair{move.chance_worse, -move.gain}; };
      if (best == moves.size() || rank(moves[i]) < rank(moves[best])) best = i;
    }
    return best;
  }

 private:
  Changes smaller(Changes changes, double share) const {
    for (std::size_t i = 0; i < changes.size(); ++i) {
      const double step = bench_.levers()[i].step;
      changes[i] = std::round(changes[i] * share / step) * step;
    }
    return changes;
  }
  static bool is_any(const Changes& changes) {
    return std::any_of(changes.begin(), changes.end(), [](double change) { return change != 0.0; });
  }

  Bench& bench_;
  std::vector<double> idle_;
};

bool same_parts(const Move& a, const Move& b) {
  return std::equal(a.parts.begin(), a.parts.end(), b.parts.begin(), b.parts.end(), [](const Part& x, const Part& y) {
    return x.kind == y.kind && x.name == y.name && x.change == y.change && x.into == y.into &&
           x.minutes_before_boil_end == y.minutes_before_boil_end && x.shifted_from_minutes == y.shifted_from_minutes;
  });
}

// Gas that is still to come because the beer was read higher than it can end: it has not finished.
double unfinished_volumes(const Brewing& brewing, const Belief& belief) {
  double points = 0.0;
  for (const Judged& judged : belief.readings) {
    if (judged.questioned && judged.seen && judged.seen->told == Told::final_gravity)
      points = 1000.0 * std::max(0.0, judged.seen->value - judged.expected);
  }
  if (!(points > 0.0)) return 0.0;
  const process::Forecast<double> end = upcome_at(brewing, belief.z).forecast;
  const auto beer = process::beer_from_readings(1.0, end.abv_percent, end.final_gravity_sg);
  return beer ? points * process::volumes_per_gravity_point(*beer) : 0.0;
}

}  // namespace

Replan replan(const compose::Brief& brief, const State& state, Instant now) {
  const Brewing brewing = brewing_of(brief, state);
  return replan(brewing, state, now, belief_of(brewing, state.readings));
}

Replan replan(const Brewing& brewing, const State& state, Instant now, Belief belief) {
  Replan answer;
  answer.belief = std::move(belief);
  Bench bench(brewing, state, now, unfinished_volumes(brewing, answer.belief));
  std::vector<Eigen::VectorXd> points{answer.belief.z};
  for (Eigen::VectorXd& point : points_of(answer.belief, all_points - 1)) points.push_back(std::move(point));
  bench.believe(points);
  Ranking ranking(bench);
  std::vector<Move> moves;
  const auto known = [&](const Move& move) {
    return std::any_of(moves.begin(), moves.end(), [&](const Move& other) { return same_parts(move, other); });
  };
  std::size_t looked_at = 0;
  for (const Candidate& candidate : Search(bench).candidates()) {
    if (++looked_at > most_looked_at) break;
    Move move = ranking.offered_of(candidate.changes);
    if (!known(move)) moves.push_back(std::move(move));
  }
  std::stable_sort(moves.begin(), moves.end(), [](const Move& a, const Move& b) {
    const bool a_first = Ranking::is_worth_while(a), b_first = Ranking::is_worth_while(b);
    return a_first != b_first ? a_first : a.loss < b.loss;
  });
  const std::size_t surest = Ranking::surest_of(moves);
  if (surest < moves.size()) {
    const auto place = moves.begin() + static_cast<std::ptrdiff_t>(surest);
    std::rotate(moves.begin(), place, place + 1);
  }
  if (moves.size() > most_moves) moves.resize(most_moves);
  const auto nothing =
      std::find_if(moves.begin(), moves.end(), [](const Move& move) { return !Ranking::is_worth_while(move); });
  moves.insert(nothing, ranking.move_of(Changes(bench.levers().size(), 0.0)));
  answer.moves = std::move(moves);
  return answer;
}

}  // namespace oddgrist::gyle
