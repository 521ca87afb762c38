// What the suite found, as text.
#pragma once

#include "suite/multistart.hpp"
#include "suite/ours.hpp"

namespace oddgrist::bench {

struct Row {
  std::string name;
  int candidates = 0;
  Ours ours;
  Outcome cbc, highs;
  Multistart nlopt;
};

void print_ours(const std::vector<Row>& rows);
void print_comparison(const std::vector<Row>& rows, double limit_s);

}  // namespace oddgrist::bench
