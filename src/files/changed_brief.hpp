// The next brief as a file: the text of the last one with what changed written into it.
#pragma once

#include <string>
#include <string_view>

#include "compose/brief.hpp"
#include "files/problem.hpp"

namespace oddgrist::files {

// `text` is the file `before` was read from. What `after` has otherwise - wishes' ranges, carbonation, how much of what was given must go
// in, the kit's figures - is written over what stood there, or added where nothing stood; everything else stays as it was written, comments
// too. The result has been read back: it is a brief, and says what `after` says.
[[nodiscard]] Result<std::string> changed_brief_text(std::string_view text, const compose::Brief& before,
                                                     const compose::Brief& after);

}  // namespace oddgrist::files
