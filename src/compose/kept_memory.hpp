// For the start of a program that solves: memory given back by one solve is kept for the next instead of returned to the system and fetched
// again, page by page, which took a fifth of the time of a brief of 20 candidates. A whole program's choice, so a library does not make it.
#pragma once

#include <cstdlib>

#if defined(__GLIBC__)
#include <malloc.h>
#endif

namespace oddgrist::compose {

inline void keep_freed_memory() {
#if defined(__GLIBC__)
  constexpr int most_kept_bytes = 256 << 20, ahead_bytes = 1 << 20;
  mallopt(M_MMAP_THRESHOLD, 32 << 20);  // the most there is
  mallopt(M_TRIM_THRESHOLD, most_kept_bytes);
  mallopt(M_TOP_PAD, ahead_bytes);
#endif
}

}  // namespace oddgrist::compose
