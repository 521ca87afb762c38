// The mash as a brewer reads it, 80 columns wide: what to do when, the heat of it, what becomes of the starch, pH, enzymes.
#pragma once

#include <string>

#include "present/mash_answer.hpp"

namespace oddgrist::present {

[[nodiscard]] std::string mash_text(const MashAnswer& answer, const std::string& name, bool us_units_first);

// One sentence: enough, slow, too little.
[[nodiscard]] std::string enzyme_words(science::EnzymeVerdict verdict);

}  // namespace oddgrist::present
