#include "files/item_section.hpp"

#include <algorithm>

#include "files/overrides.hpp"
#include "files/text_file.hpp"
#include "larder/catalogue.hpp"
#include "larder/hazards.hpp"

namespace oddgrist::files {
namespace {

using larder::PacketLabel;
using larder::Panel;

using Figure = std::optional<double> PacketLabel::*;

// Figures of mass, as printed.
constexpr std::pair<std::string_view, Figure> mass_figures[] = {
    {"fat", &PacketLabel::fat_g},         {"carbohydrate", &PacketLabel::carbohydrate_g},
    {"sugars", &PacketLabel::sugars_g},   {"fibre", &PacketLabel::fibre_g},
    {"polyols", &PacketLabel::polyols_g}, {"protein", &PacketLabel::protein_g},
    {"salt", &PacketLabel::salt_g},       {"organic-acid", &PacketLabel::organic_acid_g},
    {"water", &PacketLabel::water_g},
};

constexpr Limits<MassKind> figure_limits{0.0 * gram, 1000.0 * gram, "from 0 g to 1000 g"};
constexpr Limits<FractionKind> share_limits{0.0 * percent, 100.0 * percent, "from 0 % to 100 %"};

// What the figures are for: 100 g, 100 ml, or a serving.
void read_panel(TableReader& packet, PacketLabel& label) {
  const auto panel = packet.words("panel");
  const auto per = packet.words("per");
  const auto serving = packet.quantity<MassKind>("serving", {1.0 * gram, 1000.0 * gram, "from 1 g to 1000 g"}, "30 g");
  if (serving) label.serving_g = serving->in(gram);
  if (const auto density = packet.number("density", 0.5, 2.0, "from 0.5 to 2, in kg/L"))
    label.density_kg_per_l = *density;
  if (panel && panel->text != "eu" && panel->text != "us") {
    packet.report(panel->place, "panel", fmt::format("{} is \"{}\"", packet.field("panel"), panel->text),
                  "Write \"eu\" for figures per 100 g or 100 mL, or \"us\" for figures per serving");
    return;
  }
  const std::string per_remedy = "Write per = \"100 g\" or per = \"100 mL\"; or panel = \"us\" with serving = \"30 g\"";
  if (panel && panel->text == "us") {
    label.panel = Panel::us_per_serving;
    if (!packet.has("serving")) {
      packet.report(packet.place(), "serving", fmt::format("{} does not say what a serving weighs", packet.path()),
                    "Add serving = \"30 g\", as the packet has it");
    }
    if (per)
      packet.report(per->place, "per", fmt::format("{}: a US panel is per serving", packet.field("per")),
                    "Leave it out");
    return;
  }
  if (packet.has("serving")) {
    packet.report(packet.place_of("serving"), "serving",
                  fmt::format("{} without panel = \"us\"", packet.field("serving")), per_remedy);
  }
  if (!per) {
    if (!packet.has("per")) {
      packet.report(packet.place(), "per", fmt::format("{} does not say what the figures are for", packet.path()),
                    per_remedy);
    }
    return;
  }
  const auto mass = parse<MassKind>(per->text);
  const auto volume = parse<VolumeKind>(per->text);
  const auto near = [](double value, double target) { return value > 0.999 * target && value < 1.001 * target; };
  if (volume && near(volume.value().in(litre), 0.1)) {
    label.panel = Panel::eu_per_100_ml;
  } else if (!mass || !near(mass.value().in(gram), 100.0)) {
    packet.report(per->place, "per", fmt::format("{} is \"{}\"", packet.field("per"), per->text), per_remedy);
  }
}

// energy = "2230 kJ", "533 kcal", or both in a list.
void read_energy(TableReader& packet, PacketLabel& label) {
  constexpr Limits<EnergyKind> limits{0.0 * kilojoule, 40000.0 * kilojoule, "from 0 kJ to 40000 kJ"};
  for (const toml::node* node : packet.list("energy")) {
    const auto energy = packet.quantity_of<EnergyKind>(*node, "energy", limits, "2230 kJ");
    if (!energy) continue;
    const auto measured = parse_measured(node->as_string()->get(), KindId::energy);
    if (measured && measured.value().unit->symbol == "kcal") {
      label.energy_kcal = energy->in(kilocalorie);
    } else {
      label.energy_kj = energy->in(kilojoule);
    }
  }
}

void read_figures(TableReader& packet, PacketLabel& label) {
  read_energy(packet, label);
  for (const auto& [key, figure] : mass_figures) {
    if (const auto mass = packet.quantity<MassKind>(key, figure_limits, "8 g")) label.*figure = mass->in(gram);
  }
  if (const auto sodium = packet.quantity<MassKind>("sodium", figure_limits, "20 mg"))
    label.sodium_mg = sodium->in(milligram);
  if (const auto alcohol = packet.quantity<FractionKind>("alcohol", share_limits, "12 %"))
    label.alcohol_percent = alcohol->in(percent);
  if (const auto share = packet.quantity<FractionKind>("lactose-share", share_limits, "100 %"))
    label.lactose_share = share->in(ratio);
  if (const auto share = packet.quantity<FractionKind>("fructose-share", share_limits, "50 %"))
    label.fructose_share = share->in(ratio);
  // Printed on every packet and no use to a brewer, but copied in with the rest; so it may stand here and must make sense.
  const auto saturates = packet.quantity<MassKind>("saturates", figure_limits, "3 g");
  if (saturates && label.fat_g && saturates->in(gram) > *label.fat_g) {
    packet.report(packet.place_of("saturates"), "saturates",
                  fmt::format("{} are more than the fat they are part of", packet.field("saturates")),
                  "Compare both with the packet");
  }
}

// The key under which a finding's figure was written; the packet as a whole if there is none.
Place place_of_figure(const TableReader& packet, const std::string& figure) {
  const std::string key = figure.starts_with("energy") ? "energy" : figure;
  return packet.place_of(key);
}

// One misprint upsets several sums, so the whole contradiction is one problem. It points at the figure that is the misprint, if only
// one can be, and otherwise at the first figure that cannot be right.
void report_wrong_findings(TableReader& packet, const Item& item) {
  const larder::Finding* first = nullptr;
  const larder::Finding* misprint = nullptr;
  std::string remedies;
  for (const larder::Finding& finding : item.reading.findings) {
    const bool wrong = finding.severity == larder::FindingSeverity::wrong;
    if (first == nullptr && wrong && !finding.intended) first = &finding;
    if (misprint == nullptr && wrong && finding.intended) misprint = &finding;
    if (finding.intended) remedies += finding.message + ' ';
  }
  if (first == nullptr) first = misprint;
  if (first == nullptr) return;
  const std::string& figure = misprint != nullptr ? misprint->figure : first->figure;
  packet.report(place_of_figure(packet, figure), figure,
                fmt::format("the label of {} contradicts itself: {}", item.name, first->message),
                remedies + "Compare every line with the packet");
}

// An ingredient like one of the catalogue, but the brewer's own: hops of another garden, a malt of another maltster.
void read_likeness(TableReader& entry, Item& item) {
  const auto like = entry.words("like");
  if (!like) return;
  const larder::Ingredient* known = larder::catalogue().find(like->text);
  if (known == nullptr) {
    const auto near = larder::catalogue().nearest(like->text, 1);
    entry.report(like->place, "like",
                 fmt::format("{} is \"{}\", which is not in the catalogue", entry.field("like"), like->text),
                 near.empty() ? std::string() : fmt::format("Did you mean \"{}\"?", near.front()));
  }
  if (known != nullptr && known->kind == larder::IngredientKind::hop && !entry.has("alpha")) {
    entry.report(entry.place(), "alpha", fmt::format("{} is a hop of your own without its alpha acid", entry.path()),
                 "Add alpha = \"5 %\" from its packet, or alpha = [\"3 %\", \"8 %\"], as wide as you are unsure");
  }
  if (entry.has("packet")) {
    entry.report(like->place, "like", fmt::format("{} has both a packet and something it is like", entry.path()),
                 "Keep the packet for food, or like for malt, hops and the rest");
  }
  larder::Ingredient& own = item.reading.ingredient;
  if (known != nullptr) own = *known;
  read_overrides(entry, known != nullptr ? &own : nullptr);
  own.name = item.name;
  own.also_called.clear();
  own.id = larder::folded_name(item.name);
  std::replace(own.id.begin(), own.id.end(), ' ', '-');
}

Item read_item(TableReader& entry, const std::string& file, WrongLabel wrong) {
  Item item;
  item.place = entry.place();
  const std::size_t problems_before = entry.problems().size();
  if (const auto name = entry.words("name")) item.name = item.label.name = name->text;
  if (!entry.has("name")) {
    entry.report(entry.place(), "name", fmt::format("{} has no name", entry.path()),
                 "Add name = \"...\", and use it under [[given]]");
  }
  if (const auto declared = entry.words("declared")) item.label.ingredients = declared->text;
  read_likeness(entry, item);
  const toml::table* table = entry.table("packet");
  if (table == nullptr && !entry.has("packet") && !entry.has("like")) {
    entry.report(
        entry.place(), "packet", fmt::format("{} has no figures", entry.path()),
        "Add a table [item.packet] with per = \"100 g\" and the figures of its nutrition panel, or like = \"...\"");
  }
  if (table != nullptr) {
    TableReader packet(*table, entry.field("packet"), file, entry.problems());
    read_panel(packet, item.label);
    read_figures(packet, item.label);
    packet.report_unknown_keys();
    if (entry.problems().size() == problems_before) {
      item.reading = larder::read_packet(item.label);
      if (wrong == WrongLabel::refuse) report_wrong_findings(packet, item);
    }
  }
  entry.report_unknown_keys();
  item.sound = entry.problems().size() == problems_before;
  return item;
}

}  // namespace

std::vector<Item> read_items(const std::vector<const toml::table*>& entries, const std::string& file, WrongLabel wrong,
                             Problems& problems) {
  std::vector<Item> items;
  for (std::size_t i = 0; i < entries.size(); ++i) {
    TableReader entry(*entries[i], fmt::format("item[{}]", i + 1), file, problems);
    items.push_back(read_item(entry, file, wrong));
  }
  return items;
}

larder::Ingredient bare_ingredient(const std::string& name, const std::string& declared) {
  larder::Ingredient bare;
  bare.name = name;
  bare.id = larder::folded_name(name);
  std::replace(bare.id.begin(), bare.id.end(), ' ', '-');
  bare.declared_ingredients = declared;
  return bare;
}

OwnItems own_items(std::vector<Item> items, Problems& problems) {
  OwnItems own;
  for (Item& item : items) {
    if (item.name.empty()) continue;
    std::optional<larder::Ingredient> ingredient;
    if (item.sound) ingredient = std::move(item.reading.ingredient);
    if (!item.sound) {
      larder::Ingredient bare = bare_ingredient(item.name, item.label.ingredients);
      if (larder::is_refused(larder::hazards_in(bare))) ingredient = std::move(bare);
    }
    const bool is_new = own.emplace(larder::folded_name(item.name), std::move(ingredient)).second;
    if (is_new) continue;
    problems.push_back(Problem{item.place, "item.name",
                               fmt::format("an [[item]] named \"{}\" is defined twice", item.name),
                               "Give each its own name"});
  }
  return own;
}

namespace {

Result<std::vector<Item>> read_item_text(std::string_view text, const std::string& path, WrongLabel wrong, bool alone) {
  Problems problems;
  const auto root = parse_toml(text, path, problems);
  if (!root) return problems;
  TableReader top(*root, "", path, problems);
  std::vector<Item> items = read_items(top.tables("item"), path, wrong, problems);
  if (items.empty() && problems.empty()) {
    problems.push_back(Problem{Place{path, 0, 0}, "item", "there is no [[item]] in this file",
                               "Begin one with a line [[item]], then name, declared and [item.packet]"});
  }
  if (alone) {
    top.report_unknown_keys();
    std::vector<Item> copies = items;
    own_items(std::move(copies), problems);
  }
  if (problems.empty()) return items;
  sort_by_place(problems);
  return problems;
}

}  // namespace

Result<std::vector<Item>> read_packet_text(std::string_view text, const std::string& path) {
  return read_item_text(text, path, WrongLabel::keep, false);
}

Result<std::vector<Item>> read_own_text(std::string_view text, const std::string& path) {
  return read_item_text(text, path, WrongLabel::refuse, true);
}

Result<std::vector<Item>> read_packet_file(const std::string& path) {
  const auto text = read_text_file(path);
  if (!text) return text.problems();
  return read_packet_text(text.value(), path);
}

}  // namespace oddgrist::files
