// Checks against the outside world: rows of published values in csv files beside this one, and the models they test.
#pragma once

#include <functional>
#include <map>
#include <string>
#include <vector>

namespace outside {

using Inputs = std::map<std::string, double>;
using Model = std::function<double(const Inputs&)>;

// Registers a model under the name the csv rows use. Called while the program starts, once per name:
//     static const bool registered = outside::add("water_density_kell", [](const outside::Inputs& in) { ... });
bool add(const std::string& name, Model model);

const std::map<std::string, Model>& models();
const std::vector<std::string>& names_added_twice();

struct Row {
  std::string file;
  int line = 0;
  std::string model;
  Inputs inputs;
  double expected = 0.0;
  double tolerance = 0.0;  // absolute, whatever the row's kind
  std::string source;
  std::string provenance;
  std::string note;
};

struct Table {
  std::vector<Row> rows;
  std::vector<std::string> problems;  // "density.csv:7: what is wrong with it"; such a row is not in `rows`
};

// Reads every csv file of a folder, in the order of their names.
Table read_folder(const std::string& folder);

// Reads one file's text; `file` is the name to report.
Table read_text(const std::string& file, const std::string& text);

// Distance from the expected value as a share of the tolerance: at or below 1 the row holds. Infinite if the model is
// unknown, asks for an input the row does not have, or gives no number.
double error_share(const Row& row);

// The table of what was checked against what. The last column is the worst error as a share of its tolerance.
std::string truth_table(const std::vector<Row>& rows);

// The table's lines without their last column: what must not change unnoticed.
std::vector<std::string> without_errors(const std::string& truth_table);

}  // namespace outside
