// How long a caller may take over each part of a request.
#pragma once

#include <chrono>

namespace oddgrist::server {

struct Patience {
  std::chrono::milliseconds head{10'000};  // from the connection to the end of its first head, TLS included
  std::chrono::milliseconds idle{15'000};  // from a reply to the end of the next head
  std::chrono::milliseconds body{20'000};
  std::chrono::milliseconds reply{30'000};
  std::chrono::milliseconds news{10'000};  // for one piece of news to a listener
  std::chrono::milliseconds leave{2'000};
  std::chrono::milliseconds beat{15'000};  // between two signs of life to a listener
  std::chrono::milliseconds end{5'000};    // for what has begun, once the server is to end
};

}  // namespace oddgrist::server
