// A server of the test's own on a free port, and a client that talks to it.
#pragma once

#include <cstdlib>
#include <filesystem>
#include <fstream>
#include <sstream>
#include <string>
#include <thread>

#include <gtest/gtest.h>
#include <nlohmann/json.hpp>

#include "server/server.hpp"

// Last: it defines _res as a macro.
#include <httplib.h>

namespace oddgrist::test {

using Json = nlohmann::json;

class LiveServer {
 public:
  explicit LiveServer(server::Settings settings = {}) : server_(on_free_port(std::move(settings))) {
    const auto problem = server_.open();
    if (problem) ADD_FAILURE() << problem->what;
    thread_ = std::thread([this] { server_.run(); });
    for (int tries = 0; tries < 500 && !client().Get("/api/health"); ++tries)
      std::this_thread::sleep_for(std::chrono::milliseconds(5));
  }
  ~LiveServer() {
    server_.stop();
    thread_.join();
  }
  LiveServer(const LiveServer&) = delete;
  LiveServer& operator=(const LiveServer&) = delete;

  [[nodiscard]] int port() const { return server_.port(); }
  [[nodiscard]] server::Server& server() { return server_; }
  [[nodiscard]] httplib::Client client() const {
    httplib::Client client("127.0.0.1", server_.port());
    client.set_read_timeout(30);
    return client;
  }
  [[nodiscard]] std::string host() const { return "127.0.0.1:" + std::to_string(server_.port()); }

 private:
  static server::Settings on_free_port(server::Settings settings) {
    settings.port = 0;
    return settings;
  }
  server::Server server_;
  std::thread thread_;
};

// A folder for a store, gone when the test is.
class KeptFolder {
 public:
  KeptFolder() {
    std::string name = (std::filesystem::temp_directory_path() / "oddgrist-kept-XXXXXX").string();
    if (::mkdtemp(name.data()) == nullptr) ADD_FAILURE() << "no folder for the test";
    path_ = name;
  }
  ~KeptFolder() {
    std::error_code ignored;
    std::filesystem::remove_all(path_, ignored);
  }
  KeptFolder(const KeptFolder&) = delete;
  KeptFolder& operator=(const KeptFolder&) = delete;
  [[nodiscard]] server::Settings settings() const {
    server::Settings settings;
    settings.store_path = (path_ / "store.db").string();
    return settings;
  }

 private:
  std::filesystem::path path_;
};

inline std::string source_text(const std::string& path) {
  std::ifstream in(std::filesystem::path(ODDGRIST_SOURCE_DIR) / path, std::ios::binary);
  std::ostringstream text;
  text << in.rdbuf();
  return text.str();
}

// The demo parcel's brief, small enough to be quick.
inline Json small_brief() {
  return Json::parse(R"({
    "name": "test ale", "want": {"volume": "5 L", "alcohol": ["4.5 %", "5.5 %"], "bitterness": ["20 IBU", "30 IBU"]},
    "given": [{"item": "smoked wheat malt", "amount": "200 g", "use": "all"}],
    "have": [{"item": "pale ale malt"}, {"item": "Northern Brewer", "amount": "50 g"}, {"item": "neutral ale yeast"}]})");
}

// Every error is a problem document with something to do about it.
inline void expect_problem(const httplib::Result& result, int status, const std::string& kind) {
  ASSERT_TRUE(result) << httplib::to_string(result.error());
  EXPECT_EQ(result->status, status) << result->body;
  EXPECT_EQ(result->get_header_value("Content-Type"), "application/problem+json");
  const Json problem = Json::parse(result->body, nullptr, false);
  ASSERT_TRUE(problem.is_object()) << result->body;
  EXPECT_EQ(problem.value("type", ""), "/problems/" + kind);
  EXPECT_EQ(problem.value("status", 0), status);
  ASSERT_FALSE(problem["problems"].empty());
  for (const Json& each : problem["problems"]) {
    EXPECT_FALSE(each.value("what", "").empty());
    EXPECT_FALSE(each.value("remedy", "").empty());
  }
}

}  // namespace oddgrist::test
