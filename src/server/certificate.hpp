// The user's own certificate, looked at before anything is served with it.
#pragma once

#include <optional>
#include <string>

#include "files/problem.hpp"

namespace oddgrist::server {

// What is wrong with a certificate chain and its private key, both PEM files; nothing if they can be used. Never asks for a pass phrase.
[[nodiscard]] std::optional<files::Problem> problem_with_certificate(const std::string& certificate_path,
                                                                     const std::string& key_path);

}  // namespace oddgrist::server
