#include "science/swatch.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <cstddef>

namespace oddgrist::science {
namespace {

constexpr double first_nm = 380.0, last_nm = 780.0, step_nm = 10.0;
constexpr std::size_t line_count = 41;

// CIE 015:2018, table of standard illuminants, D65.
constexpr std::array<double, line_count> d65 = {
    49.9755, 54.6482, 82.7549, 91.4860, 93.4318, 86.6823, 104.865, 117.008, 117.812, 114.861, 115.923,
    108.811, 109.354, 107.802, 104.790, 107.689, 104.405, 104.046, 100.000, 96.3342, 95.7880, 88.6856,
    90.0062, 89.5991, 87.6987, 83.2886, 83.6992, 80.0268, 80.2146, 82.2778, 78.2842, 69.7213, 71.6091,
    74.3490, 61.6040, 69.8856, 75.0870, 63.5927, 46.4182, 66.8054, 63.3828};

// A bell with different widths on its two sides.
double lobe(double nm, double centre, double below, double above) {
  const double distance = (nm - centre) / (nm < centre ? below : above);
  return std::exp(-0.5 * distance * distance);
}

Tristimulus light_through(double absorbance_430) {
  Tristimulus sum;
  for (std::size_t i = 0; i < line_count; ++i) {
    const double nm = first_nm + step_nm * static_cast<double>(i);
    const double light = d65[i] * std::pow(10.0, -absorbance_430 * beer_absorbance_ratio_delange(nm));
    const Tristimulus eye = colour_matching_wyman(nm);
    sum.x += light * eye.x;
    sum.y += light * eye.y;
    sum.z += light * eye.z;
  }
  return sum;
}

double encode(double linear) {
  return linear <= 0.0031308 ? 12.92 * linear : 1.055 * std::pow(linear, 1.0 / 2.4) - 0.055;
}

}  // namespace

double beer_absorbance_ratio_delange(double wavelength_nm) {
  const double nm = std::clamp(wavelength_nm, first_nm, last_nm);
  return 0.02465 * std::exp(-(nm - 430.0) / 17.591) + 0.97535 * std::exp(-(nm - 430.0) / 82.122);
}

Tristimulus colour_matching_wyman(double nm) {
  return {
      1.056 * lobe(nm, 599.8, 37.9, 31.0) + 0.362 * lobe(nm, 442.0, 16.0, 26.7) - 0.065 * lobe(nm, 501.1, 20.4, 26.2),
      0.821 * lobe(nm, 568.8, 46.9, 40.5) + 0.286 * lobe(nm, 530.9, 16.3, 31.1),
      1.217 * lobe(nm, 437.0, 11.8, 36.0) + 0.681 * lobe(nm, 459.0, 26.0, 13.8)};
}

double illuminant_d65(double wavelength_nm) {
  const double place = (std::clamp(wavelength_nm, first_nm, last_nm) - first_nm) / step_nm;
  const std::size_t below = std::min(static_cast<std::size_t>(place), line_count - 2);
  const double share = place - static_cast<double>(below);
  return (1.0 - share) * d65[below] + share * d65[below + 1];
}

Tristimulus beer_tristimulus(double ebc, double path_cm) {
  constexpr double ebc_per_absorbance = 25.0;  // 1 cm, EBC Analytica 9.6
  const double absorbance_430 = std::max(ebc, 0.0) / ebc_per_absorbance * std::max(path_cm, 0.0);
  static const Tristimulus white = light_through(0.0);
  const Tristimulus seen = light_through(absorbance_430);
  return {0.95047 * seen.x / white.x, seen.y / white.y, 1.08883 * seen.z / white.z};
}

ScreenColour screen_colour(const Tristimulus& c) {
  double linear[3] = {3.2406 * c.x - 1.5372 * c.y - 0.4986 * c.z, -0.9689 * c.x + 1.8758 * c.y + 0.0415 * c.z,
                      0.0557 * c.x - 0.2040 * c.y + 1.0570 * c.z};
  ScreenColour colour;
  for (double& channel : linear) {
    colour.clipped = colour.clipped || channel < -0.0005 || channel > 1.0005;  // past the rounding of the matrix
    channel = encode(std::clamp(channel, 0.0, 1.0));
  }
  colour.red = linear[0];
  colour.green = linear[1];
  colour.blue = linear[2];
  return colour;
}

ScreenColour beer_swatch(double ebc, double path_cm) { return screen_colour(beer_tristimulus(ebc, path_cm)); }

std::array<int, 3> ScreenColour::bytes() const {
  const auto byte = [](double channel) { return static_cast<int>(std::lround(255.0 * std::clamp(channel, 0.0, 1.0))); };
  return {byte(red), byte(green), byte(blue)};
}

std::string ScreenColour::hex() const {
  const std::array<int, 3> b = bytes();
  return fmt::format("#{:02x}{:02x}{:02x}", b[0], b[1], b[2]);
}

}  // namespace oddgrist::science
