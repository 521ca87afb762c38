// Everything a brief asks for, written once, as elastic statements: low <= expression <= high, missed only at a price. The
// search builds its linear core from this list and judges the true forecast by the same list.
#pragma once

#include <array>
#include <string>
#include <utility>
#include <vector>

#include "compose/brief.hpp"
#include "compose/design.hpp"

namespace oddgrist::compose {

// What may be missed, in the brewer's words. Clashes are sets of members.
struct Member {
  enum class Kind {
    wish,
    must,
    stock,
    water,
    kettle,
    fermenter,
    most_malts,
    most_hops,
    share,
    enzymes,
    thickness
  } kind = Kind::wish;
  int index = -1;       // wish, supply or water
  std::string words;    // "bitterness 25 to 32 IBU"
  double scale = 1.0;   // a miss of this size is one brewer's "clearly off", in the expression's unit
  double weight = 1.0;  // price of missing by one scale
};

// expression = sum coefficient * amount_kg + sum coefficient * (is the supply used) + factor * (gauge, if any)
struct Elastic {
  int member = -1;                              // -1: a preference (the edge of a range), not a demand
  std::vector<std::pair<int, double>> amounts;  // variable, coefficient
  std::vector<std::pair<int, double>> uses;     // supply, coefficient
  int gauge = -1;
  double gauge_factor = 1.0;
  double low = 0.0, high = 0.0;
  double price = 1.0;  // per unit of the expression
};

// One of several moments an ingredient may go in. Each one used costs a little, and none is worth walking to the kettle for less.
struct Moment {
  int variable = 0;
  double cost = 0.0;
  double least_kg = 0.0;
};

// Something bought in whole packets: each one opened has its price, whether all of it is used or not.
struct Packets {
  int supply = 0;
  double packet_kg = 1.0;
  double cost = 0.0;
};

struct Demands {
  std::vector<Packets> packets;
  std::vector<Member> members;
  std::vector<Elastic> elastics;
  std::vector<double> use_cost;     // per supply: a small price for every further ingredient
  std::vector<double> amount_cost;  // per variable and kg: money, and a whiff against hops and water that do nothing
  std::vector<Moment> moments;
  std::vector<double> least_kg;  // per supply: less than this is not worth opening the bag; 0 for what was given
  std::vector<double> most_kg;   // per supply: a ceiling no sane recipe passes, for linking amounts to "used"
  std::vector<double> usual_kg;  // per variable: the size of an ordinary change, for the trust region
  double least_grist_kg = 0.0;   // where a mash pH is wished: without a mash there is none, and no slope says so
  double rest_low_c = 64.0, rest_high_c = 69.0;
};

Demands demands_of(const Brief& brief, const Unknowns& unknowns);

// By how much the expression misses its bounds: 0 inside.
double miss_of(const Elastic& elastic, const Design& design, const Unknowns& unknowns,
               const std::array<double, gauge_count>& gauges);
double value_of(const Elastic& elastic, const Design& design, const Unknowns& unknowns,
                const std::array<double, gauge_count>& gauges);
// How many packets of it the design takes.
int packets_opened(const Packets& packets, const Design& design, const Unknowns& unknowns);
bool is_used(const Design& design, const Unknowns& unknowns, int supply);

// The loss of a design: every miss at its price, plus the small costs. The true objective.
double loss_of(const Demands& demands, const Design& design, const Unknowns& unknowns,
               const std::array<double, gauge_count>& gauges);

// One number with its unit, as a brewer writes it: "6.2 % vol", "1.012", "28 IBU".
std::string measure_words(Measure measure, double value);
std::string measure_name(Measure measure);
std::string mass_words(double kg);

}  // namespace oddgrist::compose
