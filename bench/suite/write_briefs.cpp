// write_briefs FOLDER: makes the forty briefs of the suite anew. The stored ones are what the bench runs, so that a change of the
// forecast does not change the questions.
#include <cstdio>
#include <fstream>

#include <fmt/format.h>

#include "suite/brief_text.hpp"

namespace {

using oddgrist::compose::generated::Shape;

struct Row {
  int candidates, count;
};
constexpr Row rows[] = {{20, 9}, {60, 9}, {150, 8}, {300, 6}, {600, 4}, {1000, 4}};
constexpr double volumes_l[] = {5.0, 10.0, 20.0, 1.0, 40.0, 300.0, 12.0, 2000.0, 2.5, 100.0, 60.0};

}  // namespace

int main(int argc, char** argv) {
  if (argc != 2) {
    std::fputs("usage: write_briefs FOLDER\n", stderr);
    return 2;
  }
  int number = 0;
  for (const Row& row : rows) {
    for (int i = 0; i < row.count; ++i, ++number) {
      Shape shape;
      shape.seed = 20261125u + 1000u * static_cast<unsigned>(number);
      shape.candidates = row.candidates;
      shape.volume_l = volumes_l[number % std::size(volumes_l)];
      shape.given = 2 + number % 4;
      shape.sparged = number % 3 == 2;
      shape.treats_water = number % 2 == 1;
      shape.broken = i % 4 == 3;
      auto generated = oddgrist::compose::generated::generate(shape);
      generated.brief.name =
          fmt::format("{}-{}{}", row.candidates, static_cast<char>('a' + i), shape.broken ? "-missed" : "");
      const std::string path = fmt::format("{}/{}.toml", argv[1], generated.brief.name);
      std::ofstream file(path);
      file << oddgrist::bench::brief_text(generated);
      if (!file.flush()) {
        std::fputs(fmt::format("write_briefs: cannot write {}\n", path).c_str(), stderr);
        return 1;
      }
      std::fputs(fmt::format("{} {}\n", path, generated.breakage).c_str(), stderr);
    }
  }
}
