// What the README shows is what the program prints.
#include <cstdio>
#include <fstream>
#include <iterator>
#include <string>

#include <gtest/gtest.h>

namespace {

std::string output_of(const std::string& command) {
  std::string text;
  FILE* pipe = popen(command.c_str(), "r");
  if (pipe == nullptr) return text;
  char buffer[4096];
  while (const std::size_t got = fread(buffer, 1, sizeof buffer, pipe)) text.append(buffer, got);
  pclose(pipe);
  return text;
}

TEST(Readme, ShowsWhatTheProgramPrints) {
  const std::string root = ODDGRIST_SOURCE_DIR;
  std::ifstream file(root + "/README.md");
  const std::string readme((std::istreambuf_iterator<char>(file)), {});
  const std::string marker = "<!-- output: oddgrist ";
  int found = 0;
  for (std::size_t at = readme.find(marker); at != std::string::npos; at = readme.find(marker, at + 1)) {
    ++found;
    const std::size_t end = readme.find(" -->", at);
    const std::string arguments = readme.substr(at + marker.size(), end - at - marker.size());
    const std::string opening = "```text\n";
    const std::size_t from = readme.find(opening, end) + opening.size();
    const std::string shown = readme.substr(from, readme.find("```", from) - from);
    EXPECT_EQ(shown, output_of("cd '" + root + "' && '" ODDGRIST_BINARY "' " + arguments)) << arguments;
  }
  EXPECT_GE(found, 1);
}

}  // namespace
