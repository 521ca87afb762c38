// Strong types for what a brewer measures. A Quantity knows its kind; a Unit of the same kind is the only way in and out:
//     Mass grain = 350.0 * gram;    grain.in(ounce)
// Points (a temperature, a gravity) and differences (a rise) are different kinds and do not mix.
#pragma once

#include <compare>

namespace oddgrist {

// A unit of one kind: value_in_base = value * scale + offset. Ratios are exact definitions, cited in units.cpp.
template <class Kind>
struct Unit {
  double scale = 1.0;
  double offset = 0.0;
};

template <class Kind>
class Quantity {
 public:
  constexpr Quantity() = default;
  static constexpr Quantity from(double value, Unit<Kind> unit) {
    Quantity quantity;
    quantity.base_ = value * unit.scale + unit.offset;
    return quantity;
  }
  [[nodiscard]] constexpr double in(Unit<Kind> unit) const { return (base_ - unit.offset) / unit.scale; }
  friend constexpr auto operator<=>(const Quantity&, const Quantity&) = default;

  // Arithmetic exists for kinds that have a true zero; a point kind says `static constexpr bool is_point = true`.
  friend constexpr Quantity operator+(Quantity a, Quantity b) requires(!Kind::is_point) {
    return raw(a.base_ + b.base_);
  }
  friend constexpr Quantity operator-(Quantity a, Quantity b) requires(!Kind::is_point) {
    return raw(a.base_ - b.base_);
  }
  friend constexpr Quantity operator*(double factor, Quantity a) requires(!Kind::is_point) {
    return raw(factor * a.base_);
  }
  friend constexpr Quantity operator*(Quantity a, double factor) requires(!Kind::is_point) {
    return raw(factor * a.base_);
  }
  friend constexpr Quantity operator/(Quantity a, double divisor) requires(!Kind::is_point) {
    return raw(a.base_ / divisor);
  }
  friend constexpr double operator/(Quantity a, Quantity b) requires(!Kind::is_point) { return a.base_ / b.base_; }

 private:
  static constexpr Quantity raw(double base) {
    Quantity quantity;
    quantity.base_ = base;
    return quantity;
  }
  double base_ = 0.0;
};

template <class Kind>
constexpr Quantity<Kind> operator*(double value, Unit<Kind> unit) {
  return Quantity<Kind>::from(value, unit);
}

// clang-format off
struct MassKind            { static constexpr bool is_point = false; };  // base: kilogram
struct VolumeKind          { static constexpr bool is_point = false; };  // base: litre
struct TemperatureKind     { static constexpr bool is_point = true;  };  // base: degree Celsius (a point on the scale)
struct TemperatureRiseKind { static constexpr bool is_point = false; };  // base: kelvin (a difference)
struct DurationKind        { static constexpr bool is_point = false; };  // base: minute
struct PressureKind        { static constexpr bool is_point = false; };  // base: bar; gauge or absolute is said by the name
struct GravityKind         { static constexpr bool is_point = true;  };  // base: specific gravity 20/20
struct ColourKind          { static constexpr bool is_point = false; };  // base: EBC colour unit (430 nm)
struct BitternessKind      { static constexpr bool is_point = false; };  // base: IBU
struct CarbonationKind     { static constexpr bool is_point = false; };  // base: volumes of CO2 (0 C, 1 atm)
struct ConcentrationKind   { static constexpr bool is_point = false; };  // base: mg/L
struct FractionKind        { static constexpr bool is_point = false; };  // base: 1 (per cent is 0.01); by mass unless named otherwise
struct EnergyKind          { static constexpr bool is_point = false; };  // base: kilojoule
struct PowerKind           { static constexpr bool is_point = false; };  // base: watt
struct FlowKind            { static constexpr bool is_point = false; };  // base: litre per hour
struct VolumePerMassKind   { static constexpr bool is_point = false; };  // base: litre per kilogram
struct LengthKind          { static constexpr bool is_point = false; };  // base: metre

using Mass = Quantity<MassKind>;
using Volume = Quantity<VolumeKind>;
using Temperature = Quantity<TemperatureKind>;
using TemperatureRise = Quantity<TemperatureRiseKind>;
using Duration = Quantity<DurationKind>;
using Pressure = Quantity<PressureKind>;
using Gravity = Quantity<GravityKind>;
using Colour = Quantity<ColourKind>;
using Bitterness = Quantity<BitternessKind>;
using Carbonation = Quantity<CarbonationKind>;
using Concentration = Quantity<ConcentrationKind>;
using Fraction = Quantity<FractionKind>;
using Energy = Quantity<EnergyKind>;
using Power = Quantity<PowerKind>;
using Flow = Quantity<FlowKind>;
using VolumePerMass = Quantity<VolumePerMassKind>;
using Length = Quantity<LengthKind>;

// Exact by definition: the international pound (0.45359237 kg), the US gallon (231 cubic inches), the imperial gallon
// (4.54609 L).
inline constexpr Unit<MassKind> kilogram{1.0}, gram{1e-3}, milligram{1e-6}, pound{0.45359237}, ounce{0.45359237 / 16};
inline constexpr Unit<VolumeKind> litre{1.0}, millilitre{1e-3}, us_gallon{3.785411784}, us_quart{3.785411784 / 4},
    us_pint{3.785411784 / 8}, us_fluid_ounce{3.785411784 / 128}, imperial_gallon{4.54609}, imperial_quart{4.54609 / 4},
    imperial_pint{4.54609 / 8}, imperial_fluid_ounce{4.54609 / 160};
inline constexpr Unit<TemperatureKind> celsius{1.0}, fahrenheit{5.0 / 9.0, -160.0 / 9.0}, kelvin{1.0, -273.15};
inline constexpr Unit<TemperatureRiseKind> kelvin_rise{1.0}, fahrenheit_rise{5.0 / 9.0};
inline constexpr Unit<DurationKind> minute{1.0}, second{1.0 / 60.0}, hour{60.0}, day{1440.0};
inline constexpr Unit<PressureKind> bar{1.0}, kilopascal{0.01}, psi{0.0689475729316836};
inline constexpr Unit<GravityKind> specific_gravity{1.0};
inline constexpr Unit<ColourKind> ebc{1.0}, srm{25.0 / 12.7};
inline constexpr Unit<BitternessKind> ibu{1.0};
inline constexpr Unit<CarbonationKind> volumes_co2{1.0};
inline constexpr Unit<ConcentrationKind> milligram_per_litre{1.0}, gram_per_litre{1000.0};
inline constexpr Unit<FractionKind> ratio{1.0}, percent{0.01};
inline constexpr Unit<EnergyKind> kilojoule{1.0}, kilocalorie{4.184};
inline constexpr Unit<PowerKind> watt{1.0}, kilowatt{1000.0};
inline constexpr Unit<FlowKind> litre_per_hour{1.0}, us_gallon_per_hour{3.785411784};
inline constexpr Unit<VolumePerMassKind> litre_per_kilogram{1.0}, us_quart_per_pound{3.785411784 / 4 / 0.45359237};
inline constexpr Unit<LengthKind> metre{1.0}, centimetre{0.01}, inch{0.0254};
// clang-format on

}  // namespace oddgrist
