#include <gtest/gtest.h>
#include <fmt/format.h>
#include <chrono>
#include "sample_briefs.hpp"
using namespace oddgrist;
using namespace oddgrist::compose;
TEST(Try, Harvest) {
  const auto brief = sample::harvest();
  const auto t0 = std::chrono::steady_clock::now();
  const Answer answer = compose::compose(brief);
  const auto t1 = std::chrono::steady_clock::now();
  fmt::print("{} ms outcome {}\n", std::chrono::duration<double, std::milli>(t1 - t0).count(), int(answer.outcome));
  const auto& p = answer.proposals.at(0);
  for (auto& a : p.additions) fmt::print("{} {} g route {} @{}\n", a.ingredient, a.amount.in(gram), int(a.route), a.minutes_before_boil_end);
  auto& f = p.forecast;
  fmt::print("V {} OG {} FG {} ABV {} IBU {} EBC {}\n", f.fermenter_volume_l, f.original_gravity_sg, f.final_gravity_sg, f.abv_percent, f.bitterness_ibu, f.colour_ebc);
  fmt::print("liquor {} mash {} strike {} mashvol {} preboil {} ({} hot) sg {} post {} {} pack {} prime {} fat {}\n", f.liquor_l, f.mash_liquor_l, f.strike_temperature_c, f.mash_volume_hot_l, f.pre_boil_volume_l, f.pre_boil_volume_hot_l, f.pre_boil_gravity_sg, f.post_boil_volume_l, f.post_boil_gravity_sg, f.packaged_volume_l, f.priming_sucrose_g, f.fat_mg_per_l);
  fmt::print("loss {} bound {} gap {} lin {} rest {}\n", p.loss, p.bound, p.bound_gap, p.linearisations, double(p.charge.rest_temperature_c));
  for (auto& b : p.bindings) fmt::print("  binds: {} | {}\n", b.what, b.effect);
  for (auto& c : answer.clashes) { for (auto& w : c.wishes) fmt::print("  clash: {}\n", w); fmt::print("  cure {}\n", c.least_change); }
  for (auto& c : answer.cautions) fmt::print("  caution {}: {}\n", int(c.severity), c.text);
}
