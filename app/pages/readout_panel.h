#pragma once

#include <optional>
#include <vector>

#include "widgets/inputs/section.h"

class QGridLayout;

namespace beatwitness::app {

class Document;

/// "At the cursor": time, wall clock, reference, every test, error and ratio of the test in front, other
/// channels.
class ReadoutPanel : public widgets::Section {
    Q_OBJECT

public:
    explicit ReadoutPanel(Document& document, QWidget* parent = nullptr);

    /// Session seconds, or nothing: then it says how to get a reading.
    void setCursor(std::optional<double> seconds);

private:
    struct Row {
        QString name;
        QString value;
        int trace = noSwatch;
    };
    static constexpr int noSwatch = -2;
    static constexpr int referenceSwatch = -1;

    void refresh();
    [[nodiscard]] std::vector<Row> rowsAt(double seconds) const;
    void show(const std::vector<Row>& rows);

    Document& document_;
    QGridLayout* grid_;
    QLabel* hint_;
    std::optional<double> seconds_;
};

}  // namespace beatwitness::app
