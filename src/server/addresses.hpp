// Where this machine can be reached, and how a phone is told.
#pragma once

#include <string>
#include <vector>

namespace oddgrist::server {

// IPv4 addresses of this machine in its own network, without loopback.
[[nodiscard]] std::vector<std::string> lan_addresses();
// The machine's own name and that name under .local; names an attacker outside cannot make point elsewhere.
[[nodiscard]] std::vector<std::string> own_host_names();

// A QR code as text, two rows of dots a line. Dark on light whatever the terminal's colours are: it draws the light dots as well.
// Empty if the text is too long for one.
[[nodiscard]] std::string qr_text(const std::string& content);

}  // namespace oddgrist::server
