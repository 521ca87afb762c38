// `serve` that cannot start says why and ends with the documented code.
#include "program.hpp"

namespace oddgrist::test {
namespace {

ProgramRun serve(std::vector<std::string> arguments, const Scratch& scratch) {
  std::vector<std::string> all{"serve", "--port", "0", "--store", scratch / "store.db", "--state", scratch / "state"};
  all.insert(all.end(), arguments.begin(), arguments.end());
  return oddgrist(all);
}

void expect_refusal(const ProgramRun& run, int exit_code, const std::string& where, const std::string& what) {
  EXPECT_EQ(run.exit_code, exit_code) << run.err;
  EXPECT_EQ(run.out, "");
  EXPECT_NE(run.err.find(where), std::string::npos) << run.err;
  EXPECT_NE(run.err.find(what), std::string::npos) << run.err;
}

TEST(Serve, NeedsCertificateAndKeyTogether) {
  const Scratch scratch;
  expect_refusal(serve({"--cert", "LICENSE"}, scratch), 2, "--cert", "belong together");
  expect_refusal(serve({"--key", "LICENSE"}, scratch), 2, "--key", "belong together");
}

TEST(Serve, SaysWhichFileIsWrong) {
  const Scratch scratch;
  const std::string missing = scratch / "none.pem";
  expect_refusal(serve({"--cert", missing, "--key", "LICENSE"}, scratch), 66, missing, "cannot be opened");
  expect_refusal(serve({"--cert", "LICENSE", "--key", missing}, scratch), 66, missing, "cannot be opened");
  expect_refusal(serve({"--cert", "LICENSE", "--key", "LICENSE"}, scratch), 65, "LICENSE", "no certificate");
}

TEST(Devices, AreListedAndShutOut) {
  const Scratch scratch;
  const auto devices = [&](std::vector<std::string> arguments) {
    std::vector<std::string> all{"devices", "--state", scratch.folder().string()};
    all.insert(all.end(), arguments.begin(), arguments.end());
    return oddgrist(all);
  };
  EXPECT_EQ(devices({}).exit_code, 1) << "there is none yet";
  std::ofstream(scratch / "devices.json")
      << R"({"devices": [{"name": "old \u001b[2Jphone", "hash": ")" << std::string(64, 'a')
      << R"("}, {"name": "tablet", "hash": ")" << std::string(64, 'b')
      << R"(", "paired": "2026-11-25T13:18:14Z", "seen": "2026-11-26T08:00:00Z"}]})";
  const ProgramRun list = devices({});
  EXPECT_EQ(list.exit_code, 0) << list.err;
  EXPECT_NE(list.out.find("aaaaaaaaaaaa  old [2Jphone\n"), std::string::npos) << list.out;
  EXPECT_NE(list.out.find("paired 2026-11-25T13:18:14Z"), std::string::npos);
  EXPECT_EQ(devices({"--shut-out", "cccccccccccc"}).exit_code, 65);
  const ProgramRun out = devices({"--shut-out", "aaaaaaaaaaaa", "--json"});
  EXPECT_EQ(out.exit_code, 0) << out.err;
  EXPECT_EQ(out.out.find("aaaaaaaaaaaa"), std::string::npos);
  EXPECT_NE(out.out.find("bbbbbbbbbbbb"), std::string::npos);
}

}  // namespace
}  // namespace oddgrist::test
