#include "store/known_kit.hpp"

#include <algorithm>
#include <map>
#include <optional>

#include "store/open_gyle.hpp"

namespace oddgrist::store {
namespace {

Result<std::vector<GyleLine>> all_gyles(const Store& store, const std::string& text) {
  constexpr std::int64_t a_page = 500;
  std::vector<GyleLine> lines;
  for (;;) {
    auto page = store.gyles({text, {}, static_cast<std::int64_t>(lines.size()), a_page});
    if (!page) return page.problems();
    auto& more = page.value().lines;
    lines.insert(lines.end(), std::make_move_iterator(more.begin()), std::make_move_iterator(more.end()));
    if (more.empty() || static_cast<std::int64_t>(lines.size()) >= page.value().all) return lines;
  }
}

}  // namespace

Result<KnownKit> known_kit(const Store& store, const std::string& name, const std::string& until) {
  auto found = all_gyles(store, name);
  if (!found) return found.problems();
  std::vector<GyleLine>& lines = found.value();
  std::erase_if(lines, [&](const GyleLine& line) { return line.kit != name; });
  std::sort(lines.begin(), lines.end(), [](const GyleLine& one, const GyleLine& other) {
    return one.started_at != other.started_at ? one.started_at < other.started_at : one.id < other.id;
  });
  KnownKit kit;
  kit.knowledge.kit = name;
  std::optional<OpenGyle> last;
  for (const GyleLine& line : lines) {
    if (!until.empty() && line.id == until) break;
    kit.gyles.push_back(line.id);
    auto opened = open_gyle(store, line.id);
    if (!opened && files::trouble_of(opened.problems()) == files::Trouble::damaged) return opened.problems();
    if (!opened) {
      kit.left_out.push_back(line.id);
      continue;
    }
    const int before = kit.knowledge.gyles;
    gyle::learn(kit.knowledge, {&opened.value().brief, &opened.value().state});
    if (kit.knowledge.gyles > before) kit.told.push_back(line.id);
    last = std::move(opened.value());
  }
  if (last && kit.knowledge.gyles > 0) kit.useful = gyle::useful_readings(last->brief, last->state, kit.knowledge);
  return kit;
}

Result<std::vector<KitUse>> kits_in_use(const Store& store) {
  const auto lines = all_gyles(store, {});
  if (!lines) return lines.problems();
  const auto stated = store.kits();
  if (!stated) return stated.problems();
  std::map<std::string, int> counts;
  for (const KitLine& line : stated.value()) counts[line.kit.name];
  for (const GyleLine& line : lines.value()) counts[line.kit] += 1;
  std::vector<KitUse> kits;
  kits.reserve(counts.size());
  for (const auto& [name, gyles] : counts) kits.push_back({name, gyles});
  return kits;
}

}  // namespace oddgrist::store
