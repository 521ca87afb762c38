// The figures of a label as one list, with how far each may be off by rounding. Shared by the composition and the
// misprint search.
#pragma once

#include <array>
#include <optional>
#include <string>
#include <string_view>

#include "larder/packet.hpp"

namespace oddgrist::larder {

struct LabelFigure {
  std::string_view name;
  std::optional<double> PacketLabel::*value;
  std::string_view unit;
};

inline constexpr std::array<LabelFigure, 11> label_figures = {{
    {"energy-kj", &PacketLabel::energy_kj, "kJ"},
    {"energy-kcal", &PacketLabel::energy_kcal, "kcal"},
    {"fat", &PacketLabel::fat_g, "g"},
    {"carbohydrate", &PacketLabel::carbohydrate_g, "g"},
    {"sugars", &PacketLabel::sugars_g, "g"},
    {"fibre", &PacketLabel::fibre_g, "g"},
    {"polyols", &PacketLabel::polyols_g, "g"},
    {"protein", &PacketLabel::protein_g, "g"},
    {"salt", &PacketLabel::salt_g, "g"},
    {"organic-acid", &PacketLabel::organic_acid_g, "g"},
    {"water", &PacketLabel::water_g, "g"},
}};

// Grams of food the figures stand for: 100, 100 ml x density, or the serving. 0 if a US panel lacks its serving.
double label_basis_g(const PacketLabel& label);

// Half the last place printed, in grams. EU: Commission guidance on tolerances, December 2012: whole grams from 10 g
// up, tenths below; a figure typed with more or fewer places is taken as printed that way. US, 21 CFR 101.9(c): whole
// grams; fat in half grams below 5 g.
double rounding_half_g(const PacketLabel& label, std::string_view figure, double value);

// The same for the energy line. US: to 5 kcal up to 50, to 10 above.
double energy_rounding_half(const PacketLabel& label, double value);

// Salt in grams, from either line of the label.
std::optional<double> label_salt_g(const PacketLabel& label);

// Ethanol in grams in what the figures stand for.
double label_ethanol_g(const PacketLabel& label);

// A printed ingredient list parted into what is in the food and what may be there by accident ("may contain", "made in
// a factory that").
struct DeclaredList {
  std::string contains, traces;
};
DeclaredList split_traces(std::string_view list);

}  // namespace oddgrist::larder
