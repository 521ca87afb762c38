// What of the brewer's own larder could not be read, said on standard error; it stops nothing.
#pragma once

#include "files/own_larder.hpp"

namespace oddgrist::cli {

void tell_of_own_larder(const files::OwnLarder& own);

}  // namespace oddgrist::cli
