#include "round/bars.hpp"

#include <algorithm>

#include "larder/allergen_names.hpp"

namespace oddgrist::round {
namespace {

void bar_allergens(const Member& brewer, const Member& giver, std::vector<Bar>& bars) {
  for (larder::Allergen allergen : allergens_of(giver.parcel)) {
    const auto& shunned = brewer.cannot_handle;
    if (std::find(shunned.begin(), shunned.end(), allergen) != shunned.end())
      bars.push_back({BarKind::allergen, std::string(larder::words_for(allergen))});
  }
}

void bar_finding(const Finding& finding, bool only_sound, std::vector<Bar>& bars) {
  const std::string reason = finding.reasons.empty() ? std::string() : finding.reasons.front();
  if (finding.verdict == Verdict::refused) bars.push_back({BarKind::unsafe, reason});
  if (finding.verdict == Verdict::beyond_kit) bars.push_back({BarKind::beyond_kit, reason});
  if (finding.verdict == Verdict::nearly && only_sound) bars.push_back({BarKind::not_sound, reason});
}

}  // namespace

std::vector<larder::Allergen> allergens_of(const std::vector<compose::Supply>& parcel) {
  std::vector<larder::Allergen> found;
  for (const compose::Supply& supply : parcel)
    found.insert(found.end(), supply.ingredient.allergens.begin(), supply.ingredient.allergens.end());
  std::sort(found.begin(), found.end());
  found.erase(std::unique(found.begin(), found.end()), found.end());
  return found;
}

BarTable bars_of(const Round& round, const ParcelReport& report) {
  const std::size_t count = round.members.size();
  BarTable table;
  table.of.assign(count, std::vector<std::vector<Bar>>(count));
  for (std::size_t brewer = 0; brewer < count; ++brewer) {
    for (std::size_t giver = 0; giver < count; ++giver) {
      std::vector<Bar>& bars = table.of[brewer][giver];
      if (brewer == giver) {
        bars.push_back({BarKind::own_parcel, ""});
        continue;
      }
      bar_allergens(round.members[brewer], round.members[giver], bars);
      const auto& finding = report.finding[giver][report.household_of[brewer]];
      if (finding) bar_finding(*finding, round.only_sound, bars);
    }
  }
  for (const PastDraw& past : round.past) {
    for (const Pair& pair : past.pairs) table.of[pair.brewer][pair.giver].push_back({BarKind::drawn_before, past.name});
  }
  return table;
}

Grid open_pairs(const BarTable& bars) {
  Grid open(bars.of.size());
  for (std::size_t brewer = 0; brewer < open.size(); ++brewer) {
    for (const auto& pair : bars.of[brewer]) open[brewer].push_back(pair.empty());
  }
  return open;
}

}  // namespace oddgrist::round
