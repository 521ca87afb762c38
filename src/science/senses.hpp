// How much of a flavour compound a drinker notices in beer.
#pragma once

#include <array>
#include <optional>
#include <string_view>

namespace oddgrist::science {

// Concentrations in beer at which half of a panel notices (mg/L), as a range: sources and people differ. Pale lager; in
// sweet, dark or strong beer two to ten times higher.
struct FlavourThreshold {
  std::string_view compound;
  std::string_view character;
  double low_mg_per_l = 0.0;
  double high_mg_per_l = 0.0;
  std::string_view source;
};

namespace senses_detail {
inline constexpr std::string_view meilgaard =
    "Meilgaard, MBAA Tech. Quart. 12 (1975) 151-168, Flavor and threshold of 239 aroma volatiles (from memory)";
inline constexpr std::string_view review = "range compiled in Molecules 24 (2019) 1568";
inline constexpr std::string_view recalled = "from memory";
}  // namespace senses_detail

// clang-format off
inline constexpr std::array<FlavourThreshold, 31> flavour_thresholds = {{
    {"diacetyl", "butter", 0.1, 0.2, senses_detail::review},
    {"2,3-pentanedione", "honey, toffee", 0.9, 1.0, senses_detail::meilgaard},
    {"acetaldehyde", "green apple", 5.0, 25.0, senses_detail::meilgaard},
    {"ethyl acetate", "solvent, pear drop", 25.0, 50.0, senses_detail::review},
    {"isoamyl acetate", "banana", 1.0, 2.5, senses_detail::meilgaard},
    {"ethyl hexanoate", "apple, aniseed", 0.2, 0.3, senses_detail::review},
    {"ethyl octanoate", "apple, sweet", 0.9, 0.9, senses_detail::review},
    {"phenylethyl acetate", "rose, honey", 3.0, 5.0, senses_detail::review},
    {"isobutyl alcohol", "solvent", 100.0, 200.0, senses_detail::review},
    {"amyl alcohols", "solvent, warming", 50.0, 70.0, senses_detail::review},
    {"acetic acid", "vinegar", 90.0, 175.0, senses_detail::review},
    {"lactic acid", "sour", 400.0, 800.0, senses_detail::recalled},
    {"citric acid", "sour, lemon", 170.0, 250.0, senses_detail::recalled},
    {"4-vinylguaiacol", "clove", 0.1, 0.3, senses_detail::recalled},
    {"eugenol", "clove", 0.03, 0.1, senses_detail::recalled},
    {"vanillin", "vanilla", 0.04, 0.13, senses_detail::recalled},
    {"cinnamaldehyde", "cinnamon", 0.5, 6.0, senses_detail::recalled},
    {"linalool", "floral, hop", 0.005, 0.03, senses_detail::recalled},
    {"geraniol", "rose, hop", 0.004, 0.036, senses_detail::recalled},
    {"dimethyl sulphide", "cooked sweetcorn", 0.03, 0.05, senses_detail::meilgaard},
    {"hydrogen sulphide", "rotten egg", 0.004, 0.01, senses_detail::recalled},
    {"iso-alpha acids", "bitter", 5.0, 6.0, senses_detail::recalled},
    {"sodium chloride", "salt", 800.0, 1500.0, senses_detail::recalled},
    {"sucrose", "sweet", 2600.0, 2600.0, senses_detail::recalled},
    {"glucose", "sweet", 5000.0, 5000.0, senses_detail::recalled},
    {"caffeine", "bitter", 150.0, 250.0, senses_detail::recalled},
    {"capsaicin", "hot", 0.1, 1.0, senses_detail::recalled},
    {"trans-2-nonenal", "paper, stale", 0.0001, 0.0001, senses_detail::meilgaard},
    {"3-methyl-2-butene-1-thiol", "light-struck", 0.000004, 0.000035, senses_detail::recalled},
    {"isovaleric acid", "old hop, cheese", 1.0, 1.5, senses_detail::recalled},
    {"butyric acid", "sick, baby milk", 2.0, 3.0, senses_detail::recalled},
}};
// clang-format on

inline std::optional<FlavourThreshold> flavour_threshold(std::string_view compound) {
  for (const FlavourThreshold& threshold : flavour_thresholds) {
    if (threshold.compound == compound) return threshold;
  }
  return std::nullopt;
}

// Concentration over threshold: Meilgaard's flavour unit. 0 for a threshold that is not above 0 or a negative
// concentration.
template <class Scalar>
Scalar odour_activity(const Scalar& concentration_mg_per_l, double threshold_mg_per_l) {
  if (!(threshold_mg_per_l > 0.0) || !(concentration_mg_per_l > 0.0)) return Scalar(0.0);
  return concentration_mg_per_l / threshold_mg_per_l;
}

// What a flavour unit means. M. Meilgaard, J. Agric. Food Chem. 30 (1982) 1009-1017: below 0.1 nothing; 0.1..0.5 part
// of the background; 0.5..2 makes a difference; above 2 sets the tone. A tenth of people need a twentieth, another
// tenth twenty times (same source).
enum class Notice { absent, background, noticeable, dominant };

constexpr Notice notice(double flavour_units) {
  if (!(flavour_units >= 0.1)) return Notice::absent;
  if (flavour_units < 0.5) return Notice::background;
  return flavour_units <= 2.0 ? Notice::noticeable : Notice::dominant;
}

constexpr std::string_view notice_words(Notice level) {
  switch (level) {
    case Notice::absent: return "not noticed";
    case Notice::background: return "a shade in the background";
    case Notice::noticeable: return "noticed by most";
    case Notice::dominant: return "sets the tone";
  }
  return "";
}

}  // namespace oddgrist::science
