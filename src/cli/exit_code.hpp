// What the program's exit code says. docs/commands.md and every --help list them; from 64 up they are those of BSD sysexits.h.
#pragma once

#include <string_view>

namespace oddgrist::cli {

enum ExitCode : int {
  all_well = 0,
  nothing_found = 1,
  wrong_usage = 2,
  wishes_missed = 3,
  refused_unsafe = 4,
  bad_input = 65,
  cannot_open = 66,
  internal_fault = 70,
  store_damaged = 72,
  disk_full = 73,
  cannot_write = 74,
  store_busy = 75,
  interrupted = 130,
};

inline constexpr std::string_view exit_code_words =
    "Exit codes:\n"
    "  0 all well, every wish met\n"
    "  1 nothing found\n"
    "  2 wrong usage\n"
    "  3 some wishes missed, the nearest recipe is given\n"
    "  4 refused as unsafe\n"
    "  65 the input file has problems\n"
    "  66 cannot open the input\n"
    "  70 a fault in oddgrist\n"
    "  72 the store is damaged\n"
    "  73 the disk is full\n"
    "  74 cannot write the output\n"
    "  75 the store is busy, try again\n"
    "  130 interrupted";

}  // namespace oddgrist::cli
