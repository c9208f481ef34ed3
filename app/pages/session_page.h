#pragma once

#include <QWidget>
#include <optional>

#include "core/flags/flag.h"

class QLabel;
class QScrollArea;
class QSplitter;

namespace beatwitness::widgets {
class TimelineView;
}

namespace beatwitness::app {

class ClockPanel;
class Document;
class FlagsPanel;
class ReadoutPanel;

/// The session as it went: one timeline, the flag at hand in words, and beside them what belongs to the
/// cursor, the clock, the flags and the files.
class SessionPage : public QWidget {
    Q_OBJECT

public:
    explicit SessionPage(Document& document, QWidget* parent = nullptr);

    [[nodiscard]] widgets::TimelineView& timeline() { return *timeline_; }
    [[nodiscard]] ClockPanel& clockPanel() { return *clock_; }
    [[nodiscard]] FlagsPanel& flagsPanel() { return *flags_; }
    [[nodiscard]] QSplitter& splitter() { return *splitter_; }
    /// What F6 steps through, in order.
    [[nodiscard]] QList<QWidget*> panes() const;

signals:
    void cursorMoved(std::optional<double> seconds);

protected:
    void resizeEvent(QResizeEvent* event) override;

private:
    QWidget* makeMiddle();
    QWidget* makeSide();
    void connectDocument();
    void showSession();
    void explain(const flags::Flag* flag, int index, int count);
    void goTo(const flags::Flag& flag);

    Document& document_;
    bool otherRecordings_ = false;  ///< since the session was last shown
    widgets::TimelineView* timeline_;
    QWidget* explanation_ = nullptr;
    QLabel* explanationHead_ = nullptr;
    QLabel* explanationText_ = nullptr;
    ReadoutPanel* readout_;
    ClockPanel* clock_;
    FlagsPanel* flags_;
    QScrollArea* side_ = nullptr;
    QSplitter* splitter_ = nullptr;
};

}  // namespace beatwitness::app
