// The larder's standing stock of knowledge: ordinary ingredients under generic names, each with its figures, their
// spread and a source.
#pragma once

#include <cstddef>
#include <span>
#include <stdexcept>
#include <string>
#include <string_view>
#include <vector>

#include "larder/embedded.hpp"
#include "larder/ingredient.hpp"
#include "larder/name_index.hpp"

namespace oddgrist::larder {

// Dissolved extract a kilogram of starch gives in the laboratory mash: starch takes up water as it breaks into maltose
// (342/324 = 1.056), glucose (1.11) and dextrins (near 1.0-1.03). 1.05 is the mean for a laboratory wort (from memory).
// The catalogue divides a malt's stated extract by it to get its starch; `extract_of` multiplies by it.
inline constexpr double starch_hydration = 1.05;

// Extract (kg per kg as weighed) that a composition gives when all its starch is converted: what a maltster's
// fine-grind figure states.
double extract_of(const Composition& composition);

// A data row that cannot be read. The message names the file, the row and the field.
class CatalogueError : public std::runtime_error {
 public:
  using std::runtime_error::runtime_error;
};

class Catalogue {
 public:
  // Throws CatalogueError for a row that is incomplete, unsourced, does not sum to 1, or repeats a name of another row.
  explicit Catalogue(std::span<const EmbeddedFile> files);

  const std::vector<Ingredient>& all() const { return ingredients_; }

  // By id, name or alias, as people say them: see NameIndex::find. Null if there is none.
  const Ingredient* find(std::string_view name_or_id_or_alias) const;

  // Ids of at most `count` ingredients of which a name is near to the words, nearest first, for "did you mean"; empty if
  // none is near.
  std::vector<std::string> nearest(std::string_view words, std::size_t count) const;

 private:
  std::vector<Ingredient> ingredients_;
  NameIndex names_;  // ids, names and aliases
};

// The built-in catalogue, read once at first use. Safe to call from several threads.
const Catalogue& catalogue();

}  // namespace oddgrist::larder
