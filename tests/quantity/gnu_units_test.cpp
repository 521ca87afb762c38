// Every straight unit of the table against GNU units (Debian package "units"), a program with definitions of its own.
// Without it the test fails: a check that cannot run has not passed.
#include <array>
#include <cmath>
#include <cstdio>
#include <cstdlib>
#include <map>
#include <optional>
#include <set>
#include <string>

#include <fmt/format.h>
#include <gtest/gtest.h>

#include "quantity/units.hpp"

namespace oddgrist {
namespace {

struct Pipe {
  explicit Pipe(const std::string& command) : file(popen(command.c_str(), "r")) {}
  Pipe(const Pipe&) = delete;
  Pipe& operator=(const Pipe&) = delete;
  ~Pipe() {
    if (file != nullptr) pclose(file);
  }
  int close() {
    const int status = pclose(file);
    file = nullptr;
    return status;
  }
  FILE* file;
};

// What the program prints for "you have" and "you want"; nothing if it is missing or does not understand.
std::optional<double> ask_gnu_units(const std::string& have, const std::string& want) {
  Pipe pipe(fmt::format("units -t -d 15 '{}' '{}' 2>&1", have, want));
  if (pipe.file == nullptr) return std::nullopt;
  std::array<char, 200> line{};
  const bool read = std::fgets(line.data(), static_cast<int>(line.size()), pipe.file) != nullptr;
  if (pipe.close() != 0 || !read) return std::nullopt;
  char* end = nullptr;
  const double value = std::strtod(line.data(), &end);
  if (end == line.data() || (*end != '\n' && *end != '\0')) return std::nullopt;
  return value;
}

// The base unit of a kind in the language of GNU units.
const std::map<KindId, std::string> base_names{{KindId::mass, "kg"},
                                               {KindId::volume, "litre"},
                                               {KindId::duration, "minute"},
                                               {KindId::pressure, "bar"},
                                               {KindId::fraction, "1"},
                                               {KindId::energy, "kJ"},
                                               {KindId::power, "W"},
                                               {KindId::flow, "litre/hour"},
                                               {KindId::length, "m"},
                                               {KindId::temperature_rise, "K"},
                                               {KindId::concentration, "mg/litre"},
                                               {KindId::volume_per_mass, "litre/kg"}};

const std::map<std::string, std::string> unit_names{{"kg", "kilogram"},
                                                    {"g", "gram"},
                                                    {"mg", "milligram"},
                                                    {"lb", "pound"},
                                                    {"oz", "ounce"},
                                                    {"L", "litre"},
                                                    {"cL", "centilitre"},
                                                    {"mL", "millilitre"},
                                                    {"US gal", "usgallon"},
                                                    {"US qt", "usquart"},
                                                    {"US pt", "uspint"},
                                                    {"US fl oz", "usfluidounce"},
                                                    {"imp gal", "brgallon"},
                                                    {"imp qt", "brquart"},
                                                    {"imp pt", "brpint"},
                                                    {"imp fl oz", "brfluidounce"},
                                                    {"K", "kelvin"},
                                                    {"°F", "degF"},
                                                    {"s", "second"},
                                                    {"min", "minute"},
                                                    {"h", "hour"},
                                                    {"day", "day"},
                                                    {"bar", "bar"},
                                                    {"kPa", "kilopascal"},
                                                    {"psi", "psi"},
                                                    {"%", "percent"},
                                                    {"mg/L", "milligram/litre"},
                                                    {"g/L", "gram/litre"},
                                                    {"ppm", "ppm kg/litre"},
                                                    {"kJ", "kilojoule"},
                                                    {"kcal", "kilocalorie"},
                                                    {"W", "watt"},
                                                    {"kW", "kilowatt"},
                                                    {"L/h", "litre/hour"},
                                                    {"US gal/h", "usgallon/hour"},
                                                    {"L/kg", "litre/kilogram"},
                                                    {"US qt/lb", "usquart/pound"},
                                                    {"m", "metre"},
                                                    {"cm", "centimetre"},
                                                    {"in", "inch"}};

// Units of a brewing method, which a general program does not know.
const std::set<KindId> kinds_of_a_method{KindId::gravity, KindId::colour, KindId::bitterness, KindId::carbonation};

TEST(gnu_units, every_straight_unit_has_the_same_size_there) {
  int checked = 0;
  for (const UnitRow& row : unit_rows()) {
    if (row.kind == KindId::temperature || kinds_of_a_method.contains(row.kind)) continue;
    const std::string symbol(row.symbol);
    ASSERT_TRUE(unit_names.contains(symbol)) << symbol << " has no outside check";
    const auto outside = ask_gnu_units("3.5 " + unit_names.at(symbol), base_names.at(row.kind));
    ASSERT_TRUE(outside) << "GNU units is missing, or does not know " << symbol;
    EXPECT_NEAR(row.to_base(3.5), *outside, 1e-13 * *outside) << symbol;  // it prints 15 digits
    ++checked;
  }
  EXPECT_GT(checked, 35);
}

TEST(gnu_units, temperatures_are_the_same_there) {
  const std::map<std::string, std::string> names{{"°C", "tempC"}, {"°F", "tempF"}, {"K", "tempK"}};
  for (const UnitRow& row : unit_rows()) {
    if (row.kind != KindId::temperature) continue;
    for (const double value : {0.5, 68.0, 158.0, 350.0}) {
      const auto outside = ask_gnu_units(fmt::format("{}({})", names.at(std::string(row.symbol)), value), "tempC");
      ASSERT_TRUE(outside) << "GNU units is missing, or does not know " << row.symbol;
      EXPECT_NEAR(row.to_base(value), *outside, 1e-12 * 300.0) << row.symbol;  // both pass through some 300 K
    }
  }
}

}  // namespace
}  // namespace oddgrist
