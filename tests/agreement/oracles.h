#pragma once

#include <gtest/gtest.h>

#include <nlohmann/json.hpp>
#include <string>
#include <vector>

#include "core/agreement/session_bootstrap.h"
#include "core/agreement/session_sums.h"
#include "core/trace/pairs.h"

namespace beatwitness::tests {

/// The worked examples of ../shared/oracles.json, computed by other programs; skips where they are not here.
class Oracles : public testing::Test {
protected:
    void SetUp() override;

    [[nodiscard]] const nlohmann::json& all() const { return all_; }
    /// What a case expects.
    [[nodiscard]] const nlohmann::json& expected(const std::string& id) const;
    [[nodiscard]] const nlohmann::json& edge(const std::string& id) const;
    /// Two columns of a data set as pairs.
    [[nodiscard]] trace::Pairs pairs(const std::string& dataset, std::size_t reference,
                                     std::size_t test) const;
    /// The same, one a session, by the first column.
    [[nodiscard]] std::vector<trace::Pairs> sessionPairs(const std::string& dataset, std::size_t reference,
                                                         std::size_t test) const;
    [[nodiscard]] std::vector<agreement::SessionSums> sessions(const std::string& dataset,
                                                               std::size_t reference, std::size_t test) const;

private:
    nlohmann::json all_;
};

/// To the tolerance that the oracles state: relative 1e-8 or absolute 1e-10.
void expectNear(double found, double expected, const std::string& what);
void expectInterval(const agreement::Interval& found, const nlohmann::json& expected,
                    const std::string& what = "interval");

}  // namespace beatwitness::tests
