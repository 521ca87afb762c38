// Whoever waits at a terminal is told so, and may end it; a machine that reads is not.
#include <pty.h>

#include <csignal>

#include "program.hpp"

namespace oddgrist::test {
namespace {

// Hundreds of candidates and a question about each.
const std::string long_brief = "bench/suite/briefs/600-d-missed.toml";

TEST(Patience, SaysOnATerminalThatItIsStillComposingAndEndsAtOnce) {
  int terminal = -1;
  const pid_t child = ::forkpty(&terminal, nullptr, nullptr, nullptr);
  ASSERT_GE(child, 0);
  if (child == 0) {
    if (::chdir(ODDGRIST_SOURCE_DIR) == 0)
      ::execl(ODDGRIST_BINARY, "oddgrist", "compose", long_brief.c_str(), "--others", "5", "--why", nullptr);
    ::_exit(99);
  }
  std::string shown;
  char piece[256];
  while (shown.find("composing, 1 s (Ctrl-C ends it") == std::string::npos) {
    const ssize_t length = ::read(terminal, piece, sizeof piece);
    if (length <= 0) break;
    shown.append(piece, static_cast<std::size_t>(length));
  }
  EXPECT_NE(shown.find("composing, 1 s (Ctrl-C ends it"), std::string::npos) << shown;
  ::kill(child, SIGINT);
  int status = 0;
  ASSERT_EQ(::waitpid(child, &status, 0), child);
  ::close(terminal);
  ASSERT_TRUE(WIFEXITED(status));
  EXPECT_EQ(WEXITSTATUS(status), 130);
}

TEST(Patience, SaysNothingWhereNobodyWatches) {
  const ProgramRun said = run(ODDGRIST_BINARY, {"compose", long_brief});
  EXPECT_EQ(said.exit_code, 3);
  EXPECT_EQ(said.err, "");
}

}  // namespace
}  // namespace oddgrist::test
