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

// For a program that runs for days beside others: what one request took is no longer kept for the next. Takes the above back.
inline void give_back_freed_memory() {
#if defined(__GLIBC__)
  mallopt(M_ARENA_MAX, 2);  // threads share what has been freed
  mallopt(M_MMAP_THRESHOLD, 256 << 10);
  mallopt(M_TRIM_THRESHOLD, 4 << 20);
  malloc_trim(0);
#endif
}

}  // namespace oddgrist::compose
