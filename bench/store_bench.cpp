// A store of 10,000 gyles and 500,000 readings: listing, opening, appending. Prints p50 and p95 of single calls, which is what a brewer
// waits for, then the file's size and the peak memory. The goal: each below 50 ms at p95, below 200 MiB.
#include <sys/resource.h>
#include <unistd.h>

#include <algorithm>
#include <chrono>
#include <cstdlib>
#include <filesystem>
#include <random>

#include <benchmark/benchmark.h>
#include <fmt/format.h>

#include "store/store.hpp"

namespace {

using namespace oddgrist;
using Clock = std::chrono::steady_clock;

constexpr int gyles = 10'000;
constexpr int readings_each = 50;

store::Instant moment(std::int64_t minutes) {
  return store::Instant(std::chrono::sys_days(std::chrono::year(2020) / 1 / 1)) + std::chrono::minutes(minutes);
}

class Folder {
 public:
  Folder() {
    std::string name = (std::filesystem::temp_directory_path() / "oddgrist-bench-XXXXXX").string();
    if (::mkdtemp(name.data()) == nullptr) std::abort();
    path_ = name;
  }
  ~Folder() {
    std::error_code ignored;
    std::filesystem::remove_all(path_, ignored);
  }
  Folder(const Folder&) = delete;
  Folder& operator=(const Folder&) = delete;
  [[nodiscard]] std::string file() const { return (path_ / "store.db").string(); }

 private:
  std::filesystem::path path_;
};

template <class T>
T must(files::Result<T> result) {
  if (result) return std::move(result.value());
  fmt::print(stderr, "{}\n", files::problem_line(result.problems().front()));
  std::exit(1);
}

gyle::Entry start_of(int number) {
  gyle::Started started;
  started.name = fmt::format("{} ale, number {}",
                             number % 3 == 0   ? "Amber"
                             : number % 3 == 1 ? "Pale"
                                               : "Brown",
                             number);
  started.brief_text = fmt::format("name = \"Round {}\"\n", number % 100) + std::string(1500, '#') + "\n";
  started.kit = "shed kettle";
  for (int i = 0; i < 8; ++i) {
    started.recipe.amounts.push_back(
        {fmt::format("ingredient-{}", (number + 7 * i) % 60), compose::Recipe::Into::grist, 0.0, 0.25});
  }
  started.recipe.yeast = "ale-yeast";
  started.recipe.yeast_kg = 0.0115;
  return {fmt::format("start-{}", number), moment(number * 400), "", started};
}

gyle::Entry reading_of(int number, int reading) {
  gyle::Reading read;
  read.sight = reading % 10 == 0 ? gyle::Sight::gravity : gyle::Sight::temperature;
  read.stage = gyle::Stage::fermenter;
  read.value = reading % 10 == 0 ? 1.05 - 0.0008 * (reading % readings_each) : 18.0 + 0.0625 * (reading % 32);
  return {fmt::format("thermometer-{}-{}", number, reading), moment(number * 400 + reading * 6), "", read};
}

std::string id_of(int number) { return fmt::format("g{}", number); }

// A gyle with its readings in one transaction.
void fill(store::Store& store) {
  for (int number = 0; number < gyles; ++number) {
    std::vector<gyle::Entry> entries = {start_of(number)};
    for (int reading = 0; reading < readings_each; ++reading) entries.push_back(reading_of(number, reading));
    must(store.append_to_gyle(id_of(number), entries));
    if (number % 2500 == 0) fmt::print(stderr, "store_bench: {} of {} gyles\n", number, gyles);
  }
}

struct Filled {
  Folder folder;
  Filled() {
    store::Store store = must(store::Store::open(folder.file(), store::Mode::create));
    fill(store);
  }
};

const std::string& filled_file() {
  static const Filled filled;
  static const std::string file = filled.folder.file();
  return file;
}

double peak_mib() {
  rusage usage{};
  ::getrusage(RUSAGE_SELF, &usage);
  return static_cast<double>(usage.ru_maxrss) / 1024.0;
}

// Times every call by itself.
template <class Call>
void each(benchmark::State& state, Call&& call) {
  std::vector<double> took;
  for (auto _ : state) {
    const auto began = Clock::now();
    call();
    const std::chrono::duration<double> time = Clock::now() - began;
    state.SetIterationTime(time.count());
    took.push_back(time.count() * 1e3);
  }
  std::sort(took.begin(), took.end());
  const auto at = [&](double share) {
    return took[static_cast<std::size_t>(share * static_cast<double>(took.size() - 1))];
  };
  state.SetLabel(fmt::format("p50 {:.2f} ms; p95 {:.2f} ms; file {:.0f} MiB; peak {:.0f} MiB", at(0.5), at(0.95),
                             static_cast<double>(std::filesystem::file_size(filled_file())) / 1048576.0, peak_mib()));
}

void ListGyles(benchmark::State& state) {
  const store::Store store = must(store::Store::open(filled_file(), store::Mode::read));
  std::int64_t page = 0;
  each(state, [&] { must(store.gyles({"", {}, 50 * (page++ % 200), 50})); });
}
BENCHMARK(ListGyles)->UseManualTime()->Iterations(200)->Unit(benchmark::kMillisecond);

void ListGylesByWord(benchmark::State& state) {
  const store::Store store = must(store::Store::open(filled_file(), store::Mode::read));
  int number = 0;
  each(state, [&] { must(store.gyles({fmt::format("ale {}", number++ % 100), {}, 0, 50})); });
}
BENCHMARK(ListGylesByWord)->UseManualTime()->Iterations(200)->Unit(benchmark::kMillisecond);

void OpenStoreAndGyle(benchmark::State& state) {
  std::mt19937 random(1);
  each(state, [&] {
    const store::Store store = must(store::Store::open(filled_file(), store::Mode::write));
    must(store.gyle(id_of(static_cast<int>(random() % gyles))));
  });
}
BENCHMARK(OpenStoreAndGyle)->UseManualTime()->Iterations(200)->Unit(benchmark::kMillisecond);

void AppendReading(benchmark::State& state) {
  store::Store store = must(store::Store::open(filled_file(), store::Mode::write));
  static int number = readings_each;
  each(state, [&] {
    must(store.append_to_gyle(id_of(number % gyles), std::vector<gyle::Entry>{reading_of(number % gyles, number)}));
    ++number;
  });
}
BENCHMARK(AppendReading)->UseManualTime()->Iterations(500)->Unit(benchmark::kMillisecond);

void StartGyle(benchmark::State& state) {
  store::Store store = must(store::Store::open(filled_file(), store::Mode::write));
  static int number = gyles;
  each(state, [&] {
    must(store.append_to_gyle(id_of(number), std::vector<gyle::Entry>{start_of(number)}));
    ++number;
  });
}
BENCHMARK(StartGyle)->UseManualTime()->Iterations(100)->Unit(benchmark::kMillisecond);

void SearchWords(benchmark::State& state) {
  const store::Store store = must(store::Store::open(filled_file(), store::Mode::read));
  int number = 0;
  each(state, [&] { must(store.search(fmt::format("amber {}", 3 * number++))); });
}
BENCHMARK(SearchWords)->UseManualTime()->Iterations(100)->Unit(benchmark::kMillisecond);

}  // namespace
