// Text to quantity. Nothing is guessed: a number has its unit, and a unit that two measures share is refused with the
// choices. The one form without a unit is a specific gravity written out, "1.069".
//     Parsed<Volume> volume = parse<VolumeKind>("2.5 US gal");
//     if (!volume) show(volume.error().text());
#pragma once

#include <optional>
#include <string>
#include <string_view>

#include "quantity/number.hpp"
#include "quantity/units.hpp"

namespace oddgrist {

// What was read, before it has a type.
struct Measured {
  double base = 0.0;              // in the base unit of the kind
  const UnitRow* unit = nullptr;  // the first unit written; never null
  int written_decimals = 0;
  std::string written;  // the same with the table's own symbols: "2 lb 10.3 oz"
};

struct MeasuredRange {
  Measured low;
  Measured high;
};

template <class Kind>
struct QuantityRange {
  Quantity<Kind> low;
  Quantity<Kind> high;
};

// Without a wanted kind, the unit decides (a temperature before a rise, as both are written alike).
Parsed<Measured> parse_measured(std::string_view text, std::optional<KindId> wanted,
                                NumberStyle style = NumberStyle::point);
Parsed<MeasuredRange> parse_measured_range(std::string_view text, KindId wanted,
                                           NumberStyle style = NumberStyle::point);

// The unit with this spelling. The offset of an error counts from the beginning of this text; `number`, as written
// before the unit, makes the hint complete ("write 2.5 US gal or 2.5 imp gal") and may be empty.
Parsed<const UnitRow*> parse_unit(std::string_view text, std::optional<KindId> wanted, std::string_view number = {});

// Refuses what the kind forbids: negative masses, temperatures below absolute zero, and anything above 1e9 base units.
template <class Kind>
Parsed<Quantity<Kind>> parse(std::string_view text, NumberStyle style = NumberStyle::point) {
  const Parsed<Measured> measured = parse_measured(text, kind_id<Kind>, style);
  if (!measured) return measured.error();
  return Quantity<Kind>::from(measured.value().base, Unit<Kind>{});
}

// "5.8 % to 6.2 %", "5.8 to 6.2 %", "5.8–6.2 %", "5.8-6.2 %". The two may be equal; the first may not be the larger.
template <class Kind>
Parsed<QuantityRange<Kind>> parse_range(std::string_view text, NumberStyle style = NumberStyle::point) {
  const Parsed<MeasuredRange> range = parse_measured_range(text, kind_id<Kind>, style);
  if (!range) return range.error();
  return QuantityRange<Kind>{Quantity<Kind>::from(range.value().low.base, Unit<Kind>{}),
                             Quantity<Kind>::from(range.value().high.base, Unit<Kind>{})};
}

}  // namespace oddgrist
