// A name or a list as it is compared with a table of words: folded so that case, accents, umlauts written out or not, hyphens, plurals and
// British or American spelling make no difference.
#pragma once

#include <cstddef>
#include <string>
#include <string_view>
#include <vector>

namespace oddgrist::larder {

// One word, folded and in the singular. A part of the text ends at a comma, a bracket, a full stop or "and"; a clause at "with", behind which
// another thing is spoken of ("cherries with stones").
struct PlainWord {
  std::string text;
  std::string shown;  // for a person: in the singular, but spelt as it was
  std::size_t part = 0;
  std::size_t clause = 0;
  bool operator==(const PlainWord&) const = default;
};
using PlainText = std::vector<PlainWord>;

// "E 250", "E-250" and "INS 250" come out as "e250", "D. purpurea" as "d" and "purpurea" in one part. Text that is not UTF-8 is read
// byte by byte.
PlainText plain_text(std::string_view text);

// One word of a pattern: `fingerhut~` is any word that begins so, `~honig` one that ends so.
std::string folded_word(std::string_view word);

}  // namespace oddgrist::larder
