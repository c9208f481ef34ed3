#pragma once

#include <QWidget>

class QComboBox;
class QLabel;
class QToolButton;

namespace beatwitness::app {

class Player;

/// Under the timeline: play, at which speed, what is at hand, and the keys for it.
class PlayBar : public QWidget {
    Q_OBJECT

public:
    explicit PlayBar(Player& player, QWidget* parent = nullptr);

    void setHead(const QString& text);
    [[nodiscard]] QString head() const;
    void setHint(const QString& text);

private:
    void refresh();

    Player& player_;
    QToolButton* play_;
    QComboBox* speed_;
    QLabel* head_;
    QLabel* hint_;
};

}  // namespace beatwitness::app
