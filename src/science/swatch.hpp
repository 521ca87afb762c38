// What a clear beer looks like on a screen: spectrum of the beer through a glass, daylight, the eye, sRGB.
#pragma once

#include <array>
#include <string>

#include "science/range.hpp"

namespace oddgrist::science {

// CIE tristimulus values, white Y = 1.
struct Tristimulus {
  double x = 0.0, y = 0.0, z = 0.0;
};

// Gamma-encoded sRGB, 0..1. clipped: the colour lies outside what a screen can show (usual for blue in amber and darker
// beers).
struct ScreenColour {
  double red = 0.0, green = 0.0, blue = 0.0;
  bool clipped = false;
  [[nodiscard]] std::array<int, 3> bytes() const;  // 0..255, rounded
  [[nodiscard]] std::string hex() const;           // "#rrggbb"
};

// Absorbance of beer over that at 430 nm. A. J. deLange, average of 59 beers, ASBC meeting 2007 and Brewing Materials
// and Processes (ed. Bamforth) 2016 (constants from memory; they sum to 1, and 700 nm gives 0.036, just under ASBC's
// limit of 0.039 for a clear beer). Range 380..780 nm; outside: the nearest end.
[[nodiscard]] double beer_absorbance_ratio_delange(double wavelength_nm);

// CIE 1931 observer (2 degrees), by the multi-lobe fit of Wyman, Sloan & Shirley, Simple analytic approximations to the
// CIE XYZ color matching functions, J. Computer Graphics Techniques 2 (2) (2013) 1-11, table 1. Error of a few
// thousandths of the peaks.
[[nodiscard]] Tristimulus colour_matching_wyman(double wavelength_nm);

// Relative power of CIE illuminant D65 at a wavelength of the table, 380..780 nm by 10 (CIE 015:2018); between them
// interpolated.
[[nodiscard]] double illuminant_d65(double wavelength_nm);

// Light through `path_cm` of clear beer of a colour in EBC units: Beer-Lambert, D65, 2 degree observer, summed by 10 nm
// and scaled so that no beer gives the white of sRGB (0.95047, 1, 1.08883). Error: the average spectrum holds about 92
// % of what differs between beers. Haze is not modelled. Negative inputs count as 0.
[[nodiscard]] Tristimulus beer_tristimulus(double ebc, double path_cm);

// sRGB from tristimulus values. IEC 61966-2-1:1999.
[[nodiscard]] ScreenColour screen_colour(const Tristimulus& colour);

// Width of a usual glass; say it beside the swatch.
inline constexpr double swatch_path_cm = 5.0;
[[nodiscard]] ScreenColour beer_swatch(double ebc, double path_cm = swatch_path_cm);

}  // namespace oddgrist::science
