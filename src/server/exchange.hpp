// A request and its reply as plain data, so that no route knows the HTTP library.
#pragma once

#include <map>
#include <string>
#include <string_view>
#include <utility>
#include <vector>

#include "files/answer_json.hpp"

namespace oddgrist::server {

using files::Json;

struct Request {
  std::string method;                           // "GET"
  std::string path;                             // "/api/larder"; decoded, without the query
  std::map<std::string, std::string> query;     // the first of each name
  std::map<std::string, std::string> captures;  // what stands for {name} in the route's path
  std::string content_type;                     // lower case, without parameters
  std::string body;
  std::string peer;   // address of the other end
  std::string token;  // the device's, from its cookie; empty: none
};

struct Reply {
  int status = 200;
  std::string content_type = "application/json";
  std::string body;
  std::vector<std::pair<std::string, std::string>> headers;
  std::string_view lasting = {};  // instead of a body: bytes that live as long as the program
};

[[nodiscard]] Reply json_reply(const Json& json);

}  // namespace oddgrist::server
