// Quantities and paragraphs as a brewer reads them: both systems of units, the brewer's own first, rounded to what a kitchen can measure.
#pragma once

#include <cstddef>
#include <string>
#include <string_view>
#include <vector>

#include "quantity/print.hpp"

namespace oddgrist::present {

// Which system stands first; the other follows in brackets. A quantity that is not finite is shown as "?".
class Units {
 public:
  explicit Units(bool us_first) : first_(us_first ? UnitSystem::us : UnitSystem::si) {}

  [[nodiscard]] bool us_first() const { return first_ == UnitSystem::us; }
  [[nodiscard]] std::string mass(Mass mass) const;                       // 350 g (12.3 oz)
  [[nodiscard]] std::string volume(Volume volume) const;                 // 13.4 L (3.54 US gal)
  [[nodiscard]] std::string temperature(Temperature temperature) const;  // 66.0 °C (151 °F)
  [[nodiscard]] std::string gravity(Gravity gravity) const;              // 1.042 (10.5 °P), in either order of systems
  [[nodiscard]] std::string colour(Colour colour) const;                 // 22 EBC (11 SRM)
  [[nodiscard]] std::string dose(Concentration dose) const;              // 5.9 g/L (0.79 oz/US gal)

 private:
  [[nodiscard]] std::string in_order(const std::string& metric, const std::string& us) const;
  UnitSystem first_;
};

// A number with at most `decimals` decimals and no trailing zeros. What is not finite is shown as "?".
[[nodiscard]] std::string number(double value, int decimals);
// A number with exactly `decimals` decimals. What is not finite is shown as "?".
[[nodiscard]] std::string fixed(double value, int decimals);

// Columns a UTF-8 text takes, one for each code point.
[[nodiscard]] std::size_t columns(std::string_view text);
// Lines of at most `width` columns, broken at spaces; a word longer than that is cut. A number stays with the word after it. Control
// characters count as spaces, so that no name from a file can steer a terminal.
[[nodiscard]] std::vector<std::string> wrapped(std::string_view text, std::size_t width);
// The text with spaces after it up to `width` columns.
[[nodiscard]] std::string padded(std::string_view text, std::size_t width);
// "1 wish", "3 wishes"
[[nodiscard]] std::string counted(std::size_t count, std::string_view one, std::string_view many);

}  // namespace oddgrist::present
